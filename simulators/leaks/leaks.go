// Package leaks finds the goroutines that the tests of a package leave behind. What is
// on its way to its end, on a machine that does much else, is not left behind: it is
// waited for, longer than goleak does by itself, which is for half a second.
package leaks

import (
	"testing"
	"time"

	"go.uber.org/goleak"
)

// Wait is how long goroutines may take to end.
const Wait = 30 * time.Second

// TestMain runs the tests of a package, and fails where a goroutine stays.
func TestMain(m *testing.M) { goleak.VerifyTestMain(waiting{m}) }

// waiting runs tests, and waits for the goroutines that they began.
type waiting struct{ goleak.TestingM }

func (w waiting) Run() int {
	status := w.TestingM.Run()
	// Find looks again and again itself, and rests in between.
	for begun := time.Now(); goleak.Find() != nil && time.Since(begun) < Wait; {
	}
	return status
}
