//go:build race

package keep_test

// The race detector makes each life ten times as long, and looks at what all lives
// have in common.
const (
	lives     = 2
	usualDays = 3
)
