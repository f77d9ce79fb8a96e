package keep

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// What was known of a matrix counts no more for places that its studio no longer has: an
// output is left out, and nobody knows what one listens to whose input is gone.
func TestKnownOfASmallerMatrix(t *testing.T) {
	out, in := func(n int) name.Point { return name.At("grid", "out", n) }, func(n int) name.Point { return name.At("grid", "in", n) }
	read := Fact{How: Read}
	known := Known{Crosspoints: []KnownCrosspoint{
		{out(1), in(1), read}, {out(2), in(4), read}, {out(3), in(1), read}, {name.At("far", "out", 1), name.At("far", "in", 1), read},
	}}
	s := &studio.Studio{Matrices: []studio.Matrix{{Name: "grid", Inputs: 2, Outputs: 2}}}
	want := []KnownCrosspoint{{out(1), in(1), read}, {out(2), name.Point{}, Fact{How: NotKnown}}}
	if diff := cmp.Diff(want, known.of(s).Crosspoints); diff != "" {
		t.Error(diff)
	}
	if got := known.of(nil); len(got.Crosspoints) != 4 {
		t.Errorf("of a studio that cannot be read it is %v", got)
	}
	if len(known.Crosspoints) != 4 || known.Crosspoints[1].Input != in(4) {
		t.Errorf("what was known is changed: %v", known)
	}
}

// A matrix that nobody asked yet is not one that cannot be asked.
func TestRememberedReadBack(t *testing.T) {
	device := &studio.Device{}
	s := &studio.Studio{Matrices: []studio.Matrix{{Name: "grid", Device: device}, {Name: "far", Device: device}, {Name: "hand"}}}
	got := Remembered(Memory{WriteOnly: []string{"far"}}, s, nil).Matrices
	want := []MatrixStatus{{Name: "grid", Driven: true, ReadsBack: true}, {Name: "far", Driven: true}, {Name: "hand"}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}
