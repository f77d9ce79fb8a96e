package matrix

import "time"

// Clock tells the time and wakes the driver.
type Clock interface {
	Now() time.Time
	// Timer gives a channel that receives once after d, and a way to stop it.
	Timer(d time.Duration) (<-chan time.Time, func())
}

// SystemClock is the clock of the machine.
type SystemClock struct{}

// Now is the time of the machine.
func (SystemClock) Now() time.Time { return time.Now() }

// Timer is a timer of the machine.
func (SystemClock) Timer(d time.Duration) (<-chan time.Time, func()) {
	t := time.NewTimer(d)
	return t.C, func() { t.Stop() }
}
