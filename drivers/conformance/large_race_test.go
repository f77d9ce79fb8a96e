//go:build race

package conformance_test

// The race detector makes each message many times as long, and looks at what two
// goroutines share: a matrix of sixteen shares as much as one of forty.
const (
	large     = 16
	usualRuns = 0
)
