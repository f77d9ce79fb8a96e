// Package conformance holds what every device description that ships must do,
// as tests: each is driven by drivers/matrix against a simulated device, which
// shares no code with the drivers, over a cable that can do whatever cables do.
//
// A run ends in one of two: the crosspoints were read back, and then they are
// those that the simulated device has; or it was said plainly that they are not
// known. A belief that is wrong fails the run. BAYHAND_RUNS says how many runs
// with faults each description has, or which of them are to be run (0-4999).
// With GOMAXPROCS=1 and GOGC=400 they take half the time: what runs in one bubble
// of time waits for itself, and a second processor only for the first.
//
// The package has nothing but tests.
package conformance
