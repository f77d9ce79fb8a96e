package text_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// A line to a room is no tie that plans may use, but stays one cable; seen from its other
// end its shield and its plugs change sides.
func TestLinesToARoomAreRead(t *testing.T) {
	s := readStudio(t, "testdata/ok/lines-to/studio.yaml")
	if len(s.Ties) != 0 || len(s.Tied()) != 4 || !s.IsLineTo("vocal") || s.IsLineTo("desk") {
		t.Errorf("ties %v, tied %v", s.Ties, s.Tied())
	}
	run := studio.Run{Cable: "0007", Length: s.LinesTo[1].Run.Length, Shield: studio.ShieldDestination}
	want := []studio.LineTo{
		{Name: "talk", Room: "live", From: name.At("main", "b", 8), To: name.At("far", "t", 8), Key: "lines-to.live.talk"},
		{Name: "pair", Room: "mix", From: name.At("far", "t", 9), To: name.At("main", "b", 9), Run: run, Key: "lines-to.mix.pair"},
		{Name: "pair", Room: "mix", From: name.At("far", "t", 10), To: name.At("main", "b", 10), Run: run, Key: "lines-to.mix.pair"},
		{Name: "vocal", Room: "mix", From: name.At("far", "t", 11), To: name.At("main", "b", 11), Key: "lines-to.mix.vocal"},
	}
	if diff := cmp.Diff(want, s.LinesTo); diff != "" {
		t.Error(diff)
	}
	vocal := s.Gear[slices.IndexFunc(s.Gear, func(g studio.Gear) bool { return g.Name == "vocal" })]
	if vocal.Label != "Vocal from the live room" || vocal.Short != "VOC" || !vocal.NoTest {
		t.Errorf("%+v", vocal)
	}
	// IEC 61938: phantom power comes by the line itself, so it comes through a tie.
	if in, out := vocal.Ports[0], vocal.Ports[1]; !in.Line.Phantom || out.Line.Phantom || in.Direction != studio.Input {
		t.Errorf("%+v, %+v", in, out)
	}
}

// Writing the wiring anew leaves lines to a room where they stand.
func TestRewireLeavesLinesToARoom(t *testing.T) {
	src := read(t, "testdata/ok/lines-to/studio.yaml")
	s := readStudio(t, "testdata/ok/lines-to/studio.yaml")
	to := *s
	to.Wires = slices.Clone(s.Wires)
	for i, w := range to.Wires {
		if w.From == name.At("desk", "out", 4) {
			to.Wires[i].To = name.At("main", "t", 6)
		}
	}
	made, err := text.Rewire(src, &to)
	if err != nil {
		t.Fatal(err)
	}
	again, _, problems := text.ReadStudio("studio.yaml", made)
	if problems.Errors() {
		t.Fatalf("%v\n%s", problems, made)
	}
	if diff := cmp.Diff(s.LinesTo, again.LinesTo); diff != "" || len(again.Wires) != len(s.Wires) {
		t.Errorf("%s\n%s", diff, made)
	}
}
