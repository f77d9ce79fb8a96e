package words

import (
	"testing"

	"bayhand/model/heard"
	"bayhand/model/studio"
)

func TestWay(t *testing.T) {
	w := room(t)
	steps := func(by ...string) heard.Way {
		var way heard.Way
		for i, p := range at(t, "interface/out1", "main/t1", "main/b1", "far/t2", "squeeze/in1")[:len(by)] {
			way.Steps = append(way.Steps, heard.WayStep{Point: p, By: by[i]})
		}
		return way
	}
	for _, test := range []struct {
		way  heard.Way
		want string
	}{
		{heard.Way{}, ""},
		{steps(""), "interface out 1"},
		{steps("", heard.ByWire), "interface out 1 -> main 1 top"},
		{steps("", heard.ByWire, heard.ByNormal, heard.ByTie, heard.ByCord),
			"interface out 1 -> main 1 top -> normal -> main 1 bottom -> tie line -> Far wall a2 -> cord -> compressor in 1"},
	} {
		if got := w.Way(test.way); got != test.want {
			t.Errorf("%v: %q, want %q", test.way, got, test.want)
		}
	}
}

// A cable with a name is named on the way, either way round, also that of a tie.
func TestCablesAreNamed(t *testing.T) {
	p := at(t, "interface/out1", "main/t1", "main/t40", "far/t1")
	w := In(&studio.Studio{
		Bays:  []studio.Bay{{Name: "main", Modes: make([]studio.Mode, 48)}, {Name: "far", Modes: make([]studio.Mode, 16)}},
		Wires: []studio.Wire{{From: p[0], To: p[1], Run: studio.Run{Cable: "d-sub-1"}}},
		Ties:  []studio.Tie{{A: p[2], B: p[3], Run: studio.Run{Cable: "multicore 2"}}},
	})
	way := heard.Way{Steps: []heard.WayStep{{Point: p[0]}, {Point: p[1], By: heard.ByWire}, {Point: p[2], By: heard.ByCord}, {Point: p[3], By: heard.ByTie}}}
	want := "interface out 1 -> cable d-sub-1 -> main 1 top -> cord -> main 40 top -> tie line -> cable multicore 2 -> far 1 top"
	if got := w.Way(way); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestBreaks(t *testing.T) {
	w := room(t)
	for _, test := range []struct {
		breaks []heard.Break
		want   string
	}{
		{nil, ""},
		{[]heard.Break{{Do: heard.Plugging, At: at(t, "main/b1"), By: heard.ByNormal}}, "a plug in main 1 bottom"},
		{[]heard.Break{
			{Do: heard.Pulling, At: at(t, "main/t1", "far/t2"), By: heard.ByCord},
			{Do: heard.Opening, At: at(t, "grid/in1", "grid/out2"), By: heard.ByCrosspoint},
		}, "unplugging the cord main 1 top - Far wall a2, or opening the crosspoint the grid in 1 -> the grid out 2"},
		{[]heard.Break{{Do: heard.Pulling, At: at(t, "main/t1", "main/b1"), By: heard.ByCord, Leaves: true}},
			"unplugging the cord main 1 top - main 1 bottom (the signal then comes another way)"},
		{[]heard.Break{{}}, "something unknown"},
	} {
		if got := w.Breaks(test.breaks); got != test.want {
			t.Errorf("%v: %q, want %q", test.breaks, got, test.want)
		}
	}
}
