package keep_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bayhand/recall/keep"
)

// swapped puts another device at the link of grid: the line is pulled, and what
// answers afterwards says another thing of itself.
func (b *bench) swapped(says string) {
	b.units["grid"].change(func(u *unit) { u.gone = true })
	b.pass(10 * time.Second)
	b.units["grid"].change(func(u *unit) { u.gone, u.says = false, says })
	b.units["grid"].turn(out(1), in(4))
	b.units["grid"].forget()
	b.pass(time.Minute)
}

// Another device at the link is not driven, whatever it holds, until a person says
// that it is the right one. Nothing that it says is told of the matrix.
func TestAnotherDeviceIsNotDrivenUnasked(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		b.swapped("somebody else")
		s := b.status()
		if sent := b.units["grid"].lines(); len(sent) > 0 {
			t.Errorf("another device was sent %q", sent)
		}
		got := problem(s, "another-device")
		if !strings.Contains(got, "somebody else") || !strings.Contains(got, "made-up") || problem(s, "no-answer") != "" {
			t.Errorf("it is told as %q, among %v", got, codes(s))
		}
		if s.Phase == keep.Given || how(s, out(1)) != "assumed in1" {
			t.Errorf("the room is said to be %s, and its output %q", s.Phase, how(s, out(1)))
		}
		// Not by a recall, not over a restart, not where it stops saying who it is.
		b.refused(keep.Act{Do: keep.ToRecall, Session: "tern"}, keep.ErrNoAnswer)
		b.restart(-1)
		b.pass(time.Minute)
		b.units["grid"].change(func(u *unit) { u.shy = fmt.Errorf("%w: not for you", keep.ErrRefused) })
		b.pass(time.Minute)
		if sent := b.units["grid"].lines(); len(sent) > 0 || problem(b.status(), "another-device") == "" {
			t.Errorf("another device was sent %q, problems %v", sent, codes(b.status()))
		}
	})
}

// A person's word is enough: the device is read, and brought to what is intended.
func TestReplacedDeviceIsDriven(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		b.refused(keep.Act{Do: keep.Replaced, Matrix: "grid"}, keep.ErrConflict)
		b.refused(keep.Act{Do: keep.Replaced, Matrix: "nowhere"}, keep.ErrUsage)
		b.swapped("somebody else")
		remedies := remediesOf(b.status(), "another-device")
		if len(remedies) != 1 {
			t.Fatalf("what helps is %v", remedies)
		}
		s, err := asked(b.keeper, remedies[0])
		if err != nil {
			t.Fatal(err)
		}
		b.wants(s, keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2))
		if got := problem(s, "another-device"); got != "" {
			t.Errorf("still %q", got)
		}
		events, err := b.journal.Find(keep.Query{Kinds: []keep.Kind{keep.PersonDid}})
		if err != nil || len(events) != 1 || !strings.Contains(events[0].Text, "somebody else") || events[0].Matrix != "grid" {
			t.Errorf("written down is %+v, %v", events, err)
		}
		// From now on the former one is another.
		b.swapped("made-up")
		if sent := b.units["grid"].lines(); len(sent) > 0 || problem(b.status(), "another-device") == "" {
			t.Errorf("the former device was sent %q", sent)
		}
	})
}

// The one that was there before may simply be back.
func TestTheSameDeviceIsBack(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		b.swapped("somebody else")
		b.units["grid"].change(func(u *unit) { u.says = "made-up" })
		b.pass(time.Minute)
		b.wants(b.status(), keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2))
	})
}

func remediesOf(s keep.Status, code string) []keep.Act {
	for _, p := range s.Problems {
		if p.Code == code {
			return p.Remedies
		}
	}
	return nil
}
