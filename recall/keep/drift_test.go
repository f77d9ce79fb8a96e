package keep_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// A matrix that was turned by hand is not said to be put back while nothing can be:
// what cannot be written is not done.
func TestNotPutBackOnAFullDisk(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		b.set(func() { b.full = errors.New("no space left") })
		b.units["grid"].turn(out(1), in(3))
		b.pass(10 * time.Second)
		s := b.status()
		if got := problem(s, "drift"); !strings.HasSuffix(got, "; it will be restored when the journal can be written again") {
			t.Errorf("while the disk is full it says %q, problems %v", got, codes(s))
		}
		b.holds(cross(1, 3), cross(2, 2))
		b.set(func() { b.full = nil })
		b.pass(time.Minute)
		s = b.status()
		if got := problem(s, "drift"); !strings.HasSuffix(got, "; restored") {
			t.Errorf("afterwards it says %q", got)
		}
		b.wants(s, keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2))
	})
}

// What a person says of a matrix that was turned by hand stands until the next
// recall, whatever the studio says: it is left, or put back.
func TestLeftAndPutBack(t *testing.T) {
	for _, policy := range []studio.Drift{studio.Restore, studio.Keep} {
		onBench(t, func(b *bench) {
			b.studio.Drift = policy
			b.start()
			b.refused(keep.Act{Do: keep.ToLeave, Matrix: "grid"}, keep.ErrConflict)
			b.recall("plain")
			b.refused(keep.Act{Do: keep.ToPutBack, Matrix: "grid"}, keep.ErrConflict)
			b.refused(keep.Act{Do: keep.ToLeave, Matrix: "nowhere"}, keep.ErrUsage)
			if _, err := asked(b.keeper, keep.Act{Do: keep.ToLeave, Matrix: "grid"}); err != nil {
				t.Fatal(err)
			}
			b.units["grid"].turn(out(1), in(3))
			b.pass(10 * time.Second)
			b.holds(cross(1, 3), cross(2, 2))
			remedies := remediesOf(b.status(), "drift")
			if len(remedies) != 1 {
				t.Fatalf("%v: what helps is %v", policy, remedies)
			}
			s, err := asked(b.keeper, remedies[0])
			if err != nil {
				t.Fatal(err)
			}
			b.wants(s, keep.Given, "")
			b.holds(cross(1, 1), cross(2, 2))
			// What is turned from now on is left only where the studio says so.
			b.units["grid"].turn(out(1), in(4))
			b.pass(10 * time.Second)
			holds := cross(1, 1)
			if policy == studio.Keep {
				holds = cross(1, 4)
			}
			b.holds(holds, cross(2, 2))
		})
	}
}

// A matrix that does not stay as it is put can be left so.
func TestUnsteadyIsLeft(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		for range 4 {
			b.units["grid"].turn(out(1), in(3))
			b.pass(16 * time.Second)
		}
		if s := b.status(); problem(s, "unsteady") == "" {
			t.Fatalf("problems are %v", codes(s))
		}
		s, err := asked(b.keeper, keep.Act{Do: keep.ToLeave, Matrix: "grid"})
		if err != nil || problem(s, "unsteady") != "" || !strings.HasSuffix(problem(s, "drift"), "Left alone (drift: keep).") {
			t.Errorf("left as it is: %v, %v", codes(s), err)
		}
		b.holds(cross(1, 3), cross(2, 2))
	})
}

// Two daemons at one device do not fight: what one restored the other undoes within
// seconds, twice, and then it is left as it is and said why.
func TestTwoKeepersAtOneDevice(t *testing.T) {
	onBench(t, func(b *bench) {
		other := newBench(t)
		other.units = b.units
		b.start()
		b.recall("plain")
		b.pass(2 * time.Second) // so that they do not read at the same moment
		other.start()
		other.recall("heron")
		b.pass(time.Minute)
		said := 0
		for _, one := range []*bench{b, other} {
			if p := problem(one.status(), "other-driver"); p != "" {
				said++
				if !strings.HasPrefix(p, "another program drives grid as well: what bayhand restored was undone within seconds, 2 times. ") {
					t.Errorf("it says %q", p)
				}
			}
		}
		if said != 1 {
			t.Errorf("%d of two say that another program drives it: %v, %v", said, codes(b.status()), codes(other.status()))
		}
		before := b.units["grid"].count()
		b.pass(10 * time.Minute)
		if n := b.units["grid"].count() - before; n > 0 {
			t.Errorf("they go on: %d more switches", n)
		}
		other.end()
	})
}

// What stayed for a while, or is another output, is no sign of another program.
func TestTurnedNowAndThen(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		for _, turned := range []struct {
			output, input int
			then          time.Duration
		}{{1, 3, 70 * time.Second}, {1, 3, 6 * time.Second}, {2, 3, 70 * time.Second}, {1, 3, 6 * time.Second}, {2, 4, 6 * time.Second}} {
			b.units["grid"].turn(out(turned.output), in(turned.input))
			b.pass(turned.then)
		}
		if s := b.status(); problem(s, "other-driver") != "" {
			t.Errorf("problems are %v", codes(s))
		}
		b.holds(cross(1, 1), cross(2, 2))
	})
}
