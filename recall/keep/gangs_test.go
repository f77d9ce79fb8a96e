package keep_test

import (
	"strings"
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// Outputs that are switched together and were turned apart by hand are told, whether or
// not anything is asked of the matrix, and a recall puts them right.
func TestASplitGangIsTold(t *testing.T) {
	onBench(t, func(b *bench) {
		s := *b.studio
		s.Matrices = append([]studio.Matrix(nil), s.Matrices...)
		s.Matrices[0].Stereo = [][]name.Point{{out(1), out(2)}}
		s.Drift = studio.Keep
		b.studio, b.files.Studio = &s, &s
		b.start()
		b.recall("plain") // out1 = in1 and out2 = in2, which belong together
		b.units["grid"].turn(out(2), in(4))
		b.pass(10 * time.Second)
		told := problem(b.status(), "split")
		if want := "out1 and out2 of grid are switched together, and are apart: in1 -> out1, in4 -> out2"; !strings.HasPrefix(told, want) {
			t.Errorf("it says %q, problems %v", told, codes(b.status()))
		}
		b.recall("plain")
		b.wants(b.status(), keep.Given, "")
		if told := problem(b.status(), "split"); told != "" {
			t.Errorf("mended, it still says %q", told)
		}

		// A device that has no word for what a split pair listens to says so otherwise.
		b.units["grid"].change(func(u *unit) { u.unclear = map[name.Point]bool{out(1): true, out(2): true} })
		b.pass(10 * time.Second)
		if told := problem(b.status(), "split"); !strings.Contains(told, "they may be apart") {
			t.Errorf("it says %q, problems %v", told, codes(b.status()))
		}
		b.recall("plain")
		b.wants(b.status(), keep.Given, "")
	})
}

// To listen to the room outputs that are switched together are switched together, or not.
func TestToListenAGangIsSwitchedWhole(t *testing.T) {
	onBench(t, func(b *bench) {
		s := *b.studio
		s.Matrices = append([]studio.Matrix(nil), s.Matrices...)
		s.Matrices[0].Stereo = [][]name.Point{{out(1), out(2)}}
		b.studio, b.files.Studio = &s, &s
		b.start()
		b.recall("plain")
		b.refused(listening(off(1)), keep.ErrUsage)
		b.holds(cross(1, 1), cross(2, 2))
		b.act(listening(off(1), off(2)))
		b.holds()
		b.act(listened)
		b.holds(cross(1, 1), cross(2, 2))
	})
}
