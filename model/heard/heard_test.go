package heard_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// point parses a name that the test knows to be good.
func point(t *testing.T, text string) name.Point {
	t.Helper()
	p, err := name.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func points(t *testing.T, texts ...string) []name.Point {
	t.Helper()
	var all []name.Point
	for _, text := range texts {
		all = append(all, point(t, text))
	}
	return all
}

func texts(points []name.Point) string {
	var all []string
	for _, p := range points {
		all = append(all, p.String())
	}
	return strings.Join(all, " ")
}

func gear(t *testing.T, name string, outputs, inputs []string) studio.Gear {
	t.Helper()
	g := studio.Gear{Name: name}
	for _, o := range outputs {
		g.Ports = append(g.Ports, studio.Port{Point: point(t, name+"/"+o), Direction: studio.Output})
	}
	for _, i := range inputs {
		g.Ports = append(g.Ports, studio.Port{Point: point(t, name+"/"+i), Direction: studio.Input})
	}
	return g
}

func wire(t *testing.T, from, to string) studio.Wire {
	t.Helper()
	return studio.Wire{From: point(t, from), To: point(t, to)}
}

func cord(t *testing.T, a, b string) patch.Cord {
	t.Helper()
	c := patch.Cord{A: point(t, a)}
	if b != "" {
		c.B = point(t, b)
	}
	return c
}

// pairRoom is a bay of one pair of the given mode, a source s wired to its top
// jack, a destination d to its bottom jack, and on isolated pairs of a second
// bay a source x and a destination y.
func pairRoom(t *testing.T, mode studio.Mode) *heard.Room {
	t.Helper()
	return heard.NewRoom(&studio.Studio{
		Gear: []studio.Gear{
			gear(t, "s", []string{"out"}, nil), gear(t, "d", nil, []string{"in"}),
			gear(t, "x", []string{"out"}, nil), gear(t, "y", nil, []string{"in"}),
		},
		Bays: []studio.Bay{
			{Name: "main", Modes: []studio.Mode{mode}},
			{Name: "far", Modes: []studio.Mode{studio.Isolated, studio.Isolated}},
		},
		Wires: []studio.Wire{
			wire(t, "s/out", "main/t1"), wire(t, "main/b1", "d/in"),
			wire(t, "x/out", "far/t1"), wire(t, "far/b2", "y/in"),
		},
	})
}

// The truth table of a jackfield's pairs. Source: the trade column "Jackfield
// full-normals, half-normals and no normals at all" (tvtechnology.com) for full
// normal, half-normal and isolated; half-normal-top is the same turned round;
// parallel is common practice, no published source.
func TestTruthTable(t *testing.T) {
	top, bottom := cord(t, "main/t1", "far/b2"), cord(t, "far/t1", "main/b1")
	tests := []struct {
		mode  studio.Mode
		cords []patch.Cord
		d, y  string // what the pair's destination and the far one hear
	}{
		{studio.HalfNormal, nil, "s/out", ""},
		{studio.HalfNormal, []patch.Cord{top}, "s/out", "s/out"},
		{studio.HalfNormal, []patch.Cord{bottom}, "x/out", ""},
		{studio.HalfNormal, []patch.Cord{top, bottom}, "x/out", "s/out"},
		{studio.FullNormal, nil, "s/out", ""},
		{studio.FullNormal, []patch.Cord{top}, "", "s/out"},
		{studio.FullNormal, []patch.Cord{bottom}, "x/out", ""},
		{studio.FullNormal, []patch.Cord{top, bottom}, "x/out", "s/out"},
		{studio.HalfNormalTop, nil, "s/out", ""},
		{studio.HalfNormalTop, []patch.Cord{top}, "", "s/out"},
		{studio.HalfNormalTop, []patch.Cord{top, bottom}, "x/out", "s/out"},
		{studio.Isolated, nil, "", ""},
		{studio.Isolated, []patch.Cord{top, bottom}, "x/out", "s/out"},
		{studio.Parallel, nil, "s/out", ""},
		{studio.Parallel, []patch.Cord{top}, "s/out", "s/out"},
	}
	for _, test := range tests {
		state := pairRoom(t, test.mode).Hear(patch.Patch{Cords: test.cords})
		d, y := texts(state.Hears(point(t, "d/in"))), texts(state.Hears(point(t, "y/in")))
		if d != test.d || y != test.y {
			t.Errorf("%v with %d cords: d hears %q, y hears %q; want %q, %q", test.mode, len(test.cords), d, y, test.d, test.y)
		}
		if c := state.Contentions(); len(c) != 0 {
			t.Errorf("%v with %d cords: contention %v", test.mode, len(test.cords), c)
		}
	}
}

// A second source on a pair whose jacks stay joined is two outputs joined.
func TestContention(t *testing.T) {
	for _, mode := range []studio.Mode{studio.Parallel, studio.HalfNormalTop} {
		state := pairRoom(t, mode).Hear(patch.Patch{Cords: []patch.Cord{cord(t, "far/t1", "main/b1")}})
		want := []heard.Contention{{Drivers: points(t, "s/out", "x/out"), Listeners: points(t, "d/in")}}
		if diff := cmp.Diff(want, state.Contentions()); diff != "" {
			t.Errorf("%v: %s", mode, diff)
		}
	}
}

// A dummy and the end of a cord that hangs loose break a normal like any plug.
func TestPlugsThatOnlyBreak(t *testing.T) {
	room := pairRoom(t, studio.HalfNormal)
	for what, p := range map[string]patch.Patch{
		"dummy":      {Dummies: points(t, "main/b1")},
		"loose cord": {Cords: []patch.Cord{cord(t, "main/b1", "")}},
	} {
		state := room.Hear(p)
		if got := texts(state.Hears(point(t, "d/in"))); got != "" {
			t.Errorf("%s: d hears %q", what, got)
		}
		if state.NormalHolds("main", 1) {
			t.Errorf("%s: the normal holds", what)
		}
	}
}

// matrixRoom is a source a and b, destinations c and d, and a 2 x 2 matrix
// between them, wired straight.
func matrixRoom(t *testing.T, m studio.Matrix) *heard.Room {
	t.Helper()
	m.Name, m.Inputs, m.Outputs = "grid", 2, 2
	return heard.NewRoom(&studio.Studio{
		Gear: []studio.Gear{
			gear(t, "a", []string{"out"}, []string{"in"}), gear(t, "b", []string{"out"}, nil),
			gear(t, "c", nil, []string{"in"}), gear(t, "d", nil, []string{"in"}),
		},
		Matrices: []studio.Matrix{m},
		Wires: []studio.Wire{
			wire(t, "a/out", "grid/in1"), wire(t, "b/out", "grid/in2"),
			wire(t, "grid/out1", "c/in"), wire(t, "grid/out2", "d/in"),
		},
	})
}

func TestMatrices(t *testing.T) {
	both := patch.Patch{Crosspoints: []patch.Crosspoint{
		{Output: point(t, "grid/out1"), Input: point(t, "grid/in1")},
		{Output: point(t, "grid/out2"), Input: point(t, "grid/in1")},
	}}
	amplifiers := matrixRoom(t, studio.Matrix{Kind: studio.Amplifiers}).Hear(both)
	relays := matrixRoom(t, studio.Matrix{Kind: studio.Contacts}).Hear(both)
	for what, state := range map[string]*heard.State{"amplifiers": amplifiers, "relays": relays} {
		if got := texts(state.Reaches(point(t, "a/out"))); got != "c/in d/in" {
			t.Errorf("%s: a reaches %q", what, got)
		}
		if got := texts(state.Reaches(point(t, "b/out"))); got != "" {
			t.Errorf("%s: b reaches %q", what, got)
		}
	}
	if amplifiers.Joined(point(t, "grid/in1"), point(t, "grid/out1")) {
		t.Error("an amplifier joined its input to its output")
	}
	if !relays.Joined(point(t, "c/in"), point(t, "d/in")) {
		t.Error("two relays on one input did not join their outputs")
	}
	// Two inputs on one relay output join two outputs of gear.
	both.Crosspoints[1].Output, both.Crosspoints[1].Input = point(t, "grid/out1"), point(t, "grid/in2")
	if c := matrixRoom(t, studio.Matrix{Kind: studio.Contacts}).Hear(both).Contentions(); len(c) != 1 {
		t.Errorf("two inputs on a relay output: %d contentions", len(c))
	}
}

// An amplifier that is off drives silence, unless it lets go.
func TestAmplifierOff(t *testing.T) {
	for letsGo, want := range map[bool]int{false: 1, true: 0} {
		s := *matrixRoom(t, studio.Matrix{Kind: studio.Amplifiers, HighImpedance: letsGo}).Studio()
		s.Wires = append(s.Wires, wire(t, "b/out", "c/in"))
		if got := len(heard.NewRoom(&s).Hear(patch.Patch{}).Contentions()); got != want {
			t.Errorf("lets go %v: %d contentions, want %d", letsGo, got, want)
		}
	}
}

// A ring of amplifiers that nothing drives hears nothing, however it is closed.
func TestRingFeedsItselfNothing(t *testing.T) {
	s := &studio.Studio{
		Gear:     []studio.Gear{gear(t, "a", []string{"out"}, nil), gear(t, "c", nil, []string{"in"})},
		Matrices: []studio.Matrix{{Name: "grid", Kind: studio.Amplifiers, Inputs: 2, Outputs: 2}},
		Wires:    []studio.Wire{wire(t, "grid/out1", "grid/in1"), wire(t, "grid/out1", "c/in")},
	}
	state := heard.NewRoom(s).Hear(patch.Patch{Crosspoints: []patch.Crosspoint{{Output: point(t, "grid/out1"), Input: point(t, "grid/in1")}}})
	if got := texts(state.Hears(point(t, "c/in"))); got != "" {
		t.Errorf("c hears %q", got)
	}
	loops := state.Loops(nil, nil)
	if len(loops) != 1 || texts(loops[0].Through) != "grid/in1 grid/out1" {
		t.Errorf("loops %v", loops)
	}
}

func TestLoopsThroughGearAndSoftware(t *testing.T) {
	s := *matrixRoom(t, studio.Matrix{Kind: studio.Contacts}).Studio()
	s.Wires = append(s.Wires, wire(t, "grid/out2", "a/in"))
	room := heard.NewRoom(&s)
	closed := room.Hear(patch.Patch{Crosspoints: []patch.Crosspoint{{Output: point(t, "grid/out2"), Input: point(t, "grid/in1")}}})
	if loops := closed.Loops(nil, nil); len(loops) != 0 {
		t.Fatalf("a loop without a way through the gear: %v", loops)
	}
	inside := []studio.Pass{{In: point(t, "a/in"), Out: point(t, "a/out")}}
	loops := closed.Loops(inside, nil)
	if len(loops) != 1 || texts(loops[0].Through) != "a/in a/out" {
		t.Fatalf("loops %v", loops)
	}
	if loops := closed.Loops(inside, points(t, "a/out")); len(loops) != 0 {
		t.Errorf("an allowed loop was found: %v", loops)
	}
	if loops := room.Hear(patch.Patch{}).Loops(inside, nil); len(loops) != 0 {
		t.Errorf("an open relay closed a loop: %v", loops)
	}
}

func TestOrigins(t *testing.T) {
	s := *matrixRoom(t, studio.Matrix{Kind: studio.Contacts}).Studio()
	s.Wires = append(s.Wires, wire(t, "b/out", "a/in"))
	s.Gear[0].Passes = []studio.Pass{{In: point(t, "a/in"), Out: point(t, "a/out")}}
	state := heard.NewRoom(&s).Hear(patch.Patch{Crosspoints: []patch.Crosspoint{{Output: point(t, "grid/out1"), Input: point(t, "grid/in1")}}})
	if got := texts(state.Hears(point(t, "c/in"))); got != "a/out" {
		t.Errorf("c hears %q", got)
	}
	if got := texts(state.Origins(point(t, "c/in"), nil)); got != "a/out b/out" {
		t.Errorf("origins of c: %q", got)
	}
}

// Ways run through ties and mults, both ways along the metal, and every one is
// told.
func TestWays(t *testing.T) {
	s := *pairRoom(t, studio.HalfNormal).Studio()
	s.Bays = append(s.Bays, studio.Bay{Name: "m", Modes: []studio.Mode{studio.Isolated, studio.Isolated}})
	s.Mults = []studio.Mult{{Jacks: points(t, "m/t1", "m/b1", "m/t2")}}
	s.Ties = []studio.Tie{{A: point(t, "m/b2"), B: point(t, "far/b1")}}
	state := heard.NewRoom(&s).Hear(patch.Patch{Cords: []patch.Cord{
		cord(t, "main/t1", "m/t1"), cord(t, "m/t2", "m/b2"), cord(t, "far/b1", "far/b2"),
	}})
	ways := state.Ways(point(t, "y/in"))
	if len(ways) != 1 {
		t.Fatalf("%d ways", len(ways))
	}
	var got []string
	for _, step := range ways[0].Steps {
		got = append(got, strings.TrimPrefix(step.By+":"+step.Point.String(), ":"))
	}
	want := "s/out wire:main/t1 cord:m/t1 mult:m/t2 cord:m/b2 tie:far/b1 cord:far/b2 wire:y/in"
	if strings.Join(got, " ") != want {
		t.Errorf("way %q\nwant %q", strings.Join(got, " "), want)
	}
	if ways := state.Ways(point(t, "m/b1")); len(ways) != 3 {
		t.Errorf("%d ways at the mult, want one from s and one each to d and y", len(ways))
	}
}
