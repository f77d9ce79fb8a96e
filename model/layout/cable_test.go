package layout_test

import (
	"testing"

	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/studio"
)

func TestLengthOfCables(t *testing.T) {
	s := room()
	s.Gear = []studio.Gear{
		{Name: "squeeze", Place: studio.Place{Said: true, Rack: "left", Unit: 2}},
		{Name: "desk", Place: studio.Place{Said: true, X: 230 * measure.Centimetre, Y: 80 * measure.Centimetre}},
		{Name: "lost"},
	}
	s.Cables = []studio.Cable{{Name: "tight", Cores: 60, Shield: 110, Pairs: 1}, {Name: "pair", Cores: 60, Shield: 110, Pairs: 1, Spare: measure.Metre}}
	lengths := layout.NewLengths(s)
	for _, c := range []struct {
		a, b      string
		run       studio.Run
		want      string
		estimated bool
	}{
		{"desk/out1", "lost/in1", studio.Run{Length: 4 * measure.Metre}, "4 m", false},
		// Straight up in the rack, 18 units of 44.45 mm: 0.8001 m, and a metre at
		// each end.
		{"squeeze/out1", "main/t1", studio.Run{}, "3 m", true},
		{"main/t1", "squeeze/in1", studio.Run{Kind: "tight"}, "100 cm", true},
		// 2 m to the right and 0.089 m down; column 1.
		{"desk/out1", "main/t1", studio.Run{Kind: "tight"}, "2.5 m", true},
		// From bay to bay: 0.7 m and 0.011 m.
		{"main/t1", "far/t1", studio.Run{Kind: "tight"}, "100 cm", true},
		{"desk/out1", "lost/in1", studio.Run{}, "", false},
		{"desk/out1", "spare/t1", studio.Run{}, "", false}, // a bay without a place
		{"desk/out1", "main/t99", studio.Run{}, "", false},
		{"desk/out1", "grid/in1", studio.Run{}, "", false},
	} {
		length, estimated, ok := lengths.Length(c.run, point(t, c.a), point(t, c.b))
		if ok != (c.want != "") || ok && length.String() != c.want || estimated != c.estimated {
			t.Errorf("from %s to %s: %s (estimated %v, known %v), want %s", c.a, c.b, length, estimated, ok, c.want)
		}
	}
	if k := lengths.Kind(studio.Run{Kind: "cord"}); k.Name != "cord" {
		t.Errorf("a cord is of %s", k.Name)
	}
	if k := lengths.Kind(studio.Run{}); k.Name != "pair" || k.Cores != 60 {
		t.Errorf("without a word a wire is of %+v", k)
	}
}
