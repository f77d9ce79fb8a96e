package keep_test

import (
	"strings"
	"testing"

	"bayhand/recall/keep"
)

// A cord that was heard is measured, until it is moved; the others stay told, and
// one that nobody knows of is refused.
func TestHeardIsMeasured(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("tern")
		b.allByHand()
		s, err := asked(b.keeper, keep.Act{Do: keep.WasHeard, A: jack("b1"), B: jack("t1")})
		if err != nil {
			t.Fatal(err)
		}
		how := func() map[string]keep.How {
			found := map[string]keep.How{}
			for _, c := range s.Known.Cords {
				found[c.A.String()] = c.How
			}
			return found
		}
		if got := how(); got["main/t1"] != keep.Measured || got["main/t2"] != keep.Told {
			t.Errorf("known are %v", got)
		}
		b.end()
		b.start()
		if s = b.status(); how()["main/t1"] != keep.Measured {
			t.Errorf("after a start known are %v", how())
		}
		_, err = asked(b.keeper, keep.Act{Do: keep.WasHeard, A: jack("t1"), B: jack("b2")})
		errorIs(t, err, keep.ErrConflict)
		_, err = asked(b.keeper, keep.Act{Do: keep.WasHeard, A: jack("t1")})
		errorIs(t, err, keep.ErrUsage)
		if s, err = asked(b.keeper, keep.Act{Do: keep.NotHeard, A: jack("t1"), B: jack("b1")}); err != nil || how()["main/t1"] != keep.Told {
			t.Errorf("not heard: %v, %v", how(), err)
		}
		if s, err = asked(b.keeper, keep.Act{Do: keep.WasHeard, A: jack("t1"), B: jack("b1")}); err != nil {
			t.Fatal(err)
		}
		if s, err = asked(b.keeper, keep.Act{Do: keep.ByEar, A: jack("t1"), B: jack("b1")}); err != nil || how()["main/t1"] != keep.Told {
			t.Errorf("followed by ear: %v, %v", how(), err)
		}
		events, err := b.journal.Find(keep.Query{})
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range events[len(events)-3:] {
			if !strings.HasSuffix(e.Text, ": main/t1 - main/b1") {
				t.Errorf("%q does not name the cord", e.Text)
			}
		}
		_, err = asked(b.keeper, keep.Act{Do: keep.ByEar, A: jack("t1"), B: jack("b2")})
		errorIs(t, err, keep.ErrConflict)
		if s, err = asked(b.keeper, keep.Act{Do: keep.Moved, A: jack("b1"), B: jack("b3")}); err != nil {
			t.Fatal(err)
		}
		if got := how()["main/t1"]; got != keep.Told {
			t.Errorf("a cord that was moved is %s", got)
		}
	})
}
