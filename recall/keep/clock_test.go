package keep_test

import (
	"errors"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"bayhand/recall/keep"
)

// jumpy is a clock that somebody sets: what it tells has nothing to do with how
// long anything takes.
type jumpy struct{ ahead *atomic.Int64 }

func (c jumpy) Now() time.Time { return time.Now().Round(0).Add(time.Duration(c.ahead.Load())) }

func (c jumpy) Timer(d time.Duration) (<-chan time.Time, func()) {
	return keep.SystemClock{}.Timer(d)
}

// Whichever way the clock is set, devices are looked at soon after, and put back.
func TestClockIsSet(t *testing.T) {
	for _, jump := range []time.Duration{-10 * 365 * 24 * time.Hour, -time.Hour, time.Hour, 10 * 365 * 24 * time.Hour} {
		onBench(t, func(b *bench) {
			clock := jumpy{&atomic.Int64{}}
			config := b.config()
			config.Clock = clock
			b.startWith(config)
			b.recall("plain")
			clock.ahead.Store(int64(jump))
			b.units["grid"].turn(out(1), in(3))
			b.pass(20 * time.Second)
			b.wants(b.status(), keep.Given, "")
			b.holds(cross(1, 1), cross(2, 2))

			// A journal that was full is tried again, too.
			b.set(func() { b.full = errors.New("no space left") })
			_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "heron"})
			errorIs(t, err, keep.ErrJournal)
			clock.ahead.Store(0)
			b.set(func() { b.full = nil })
			b.pass(time.Minute)
			if s := b.status(); slices.Contains(codes(s), "journal") {
				t.Errorf("after %v the journal is not tried again", jump)
			}
			b.recall("heron")
		})
	}
}
