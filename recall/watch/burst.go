package watch

import "time"

// burst is some changes that are looked at together.
type burst struct {
	clock Clock
	// quiet fires when nothing has happened for a while, latest when something has
	// happened again and again for long. Both are nil between bursts.
	quiet, latest         <-chan time.Time
	stopQuiet, stopLatest func()
	// bound is how long latest waits.
	bound time.Duration
}

// begin takes in one more change: the look waits for a pause, and no longer than
// most pauses from the first change on.
func (b *burst) begin(pause time.Duration, most int) {
	if b.stopQuiet != nil {
		b.stopQuiet()
	}
	b.quiet, b.stopQuiet = b.clock.Timer(pause)
	if bound := time.Duration(most) * pause; b.latest == nil || bound > b.bound {
		if b.stopLatest != nil {
			b.stopLatest()
		}
		b.bound = bound
		b.latest, b.stopLatest = b.clock.Timer(bound)
	}
}

func (b *burst) running() bool { return b.quiet != nil }

func (b *burst) end() {
	for _, stop := range []func(){b.stopQuiet, b.stopLatest} {
		if stop != nil {
			stop()
		}
	}
	*b = burst{clock: b.clock}
}
