// Package conformance holds what every device description that ships must do,
// as tests: each is driven by drivers/matrix against a simulated device, which
// shares no code with the drivers, over a cable that can do whatever cables do.
//
// A run ends in one of two: the crosspoints were read back, and then they are
// those that the simulated device has; or it was said plainly that they are not
// known. A belief that is wrong fails the run. BAYHAND_RUNS says how many runs
// with faults each description has.
//
// The package has nothing but tests.
package conformance
