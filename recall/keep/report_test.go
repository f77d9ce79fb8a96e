package keep_test

import (
	"slices"
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// A device that says what was turned is put back at once, where the next poll
// would be five seconds away.
func TestReportedDrift(t *testing.T) {
	onBench(t, func(b *bench) {
		b.units["grid"].talks = make(chan keep.Report, 1)
		b.start()
		b.recall("plain")
		begun := time.Now()
		b.units["grid"].turnAloud(out(1), in(3))
		s := b.status()
		b.wants(s, keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2))
		if since := time.Since(begun); since > 0 || !slices.Contains(codes(s), "drift") {
			t.Errorf("after %v, problems %v", since, codes(s))
		}
	})
}

func TestReportedDriftIsKept(t *testing.T) {
	onBench(t, func(b *bench) {
		b.studio.Drift = studio.Keep
		b.units["grid"].talks = make(chan keep.Report, 1)
		b.start()
		b.recall("plain")
		b.units["grid"].turnAloud(out(1), in(3))
		s := b.status()
		if how(s, out(1)) != "read in3" || !slices.Contains(codes(s), "drift") {
			t.Errorf("out1 is %s, problems %v", how(s, out(1)), codes(s))
		}
		b.holds(cross(1, 3), cross(2, 2))
	})
}

// One that cannot be asked is known by what it says itself.
func TestReportOfTheDeaf(t *testing.T) {
	onBench(t, func(b *bench) {
		u := b.units["far"]
		u.deaf, u.talks = true, make(chan keep.Report, 1)
		b.start()
		b.recall("tern")
		b.allByHand()
		far1 := name.At("far", "out", 1)
		if s := b.status(); how(s, far1) != "sent in2" {
			t.Errorf("far/out1 is %s", how(s, far1))
		}
		u.turnAloud(far1, name.At("far", "in", 1))
		s := b.status()
		b.wants(s, keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2), farOne)
		if how(s, far1) != "sent in2" || !slices.Contains(codes(s), "drift") {
			t.Errorf("far/out1 is %s, problems %v", how(s, far1), codes(s))
		}
	})
}

// A device that never stops talking holds up nobody: it is asked now and then,
// and everything else is done as ever.
func TestFlood(t *testing.T) {
	onBench(t, func(b *bench) {
		u := b.units["grid"]
		u.talks, u.babbles = make(chan keep.Report), time.Microsecond
		reads := 0
		config := b.config()
		b.startWith(config)
		u.change(func(u *unit) { u.reads = &reads })
		begun := time.Now()
		b.recall("tern")
		b.allByHand()
		if took := time.Since(begun); took > time.Second {
			t.Errorf("a recall took %v beside a flood", took)
		}
		u.change(func(*unit) { reads = 0 })
		b.pass(10 * time.Second)
		u.change(func(*unit) {
			if reads > 51 {
				t.Errorf("asked %d times in ten seconds", reads)
			}
		})
		events, err := b.journal.Find(keep.Query{})
		if err != nil || len(events) > 40 {
			t.Errorf("%d events in the history, %v", len(events), err)
		}
	})
}
