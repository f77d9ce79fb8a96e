//go:build !race

package conformance_test

const (
	// large is how many inputs and outputs a large matrix has, where its description
	// gives it room.
	large = 40
	// usualRuns is how many runs a description has at least, where BAYHAND_RUNS does
	// not say.
	usualRuns = 25
)
