package graph_test

import (
	"slices"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// hall has a power amplifier that says what feeds its outputs, one that does not, and an output
// that only a power amplifier has, whatever the file calls it: 28.3 V into 8 ohm is 100 W, and
// the output impedance of a power amplifier is a fraction of an ohm (common practice, no
// published source).
const hall = `studio: Hall
lines:
  power-line: {kind: line, level: +4 dBu, max: +31 dBu, source: 1 ohm, load: 10 kohm}
gear:
  desk: {inputs: {in1-2: pro-line}, outputs: {out1-2: pro-line}, passes: [in1 -> out1], can-pass: [in2 -> out1]}
  stereo: {inputs: {in1-2: pro-line, remote1: pro-line}, outputs: {out1-2: loudspeaker, meter1: pro-line}, passes: [in1-2 -> out1-2]}
  silent: {inputs: {in1: pro-line}, outputs: {out1: loudspeaker}}
  bare: {inputs: {in1: pro-line}, outputs: {out1: power-line}, passes: [in1 -> out1]}
  left: {inputs: {in1: loudspeaker}}
  monitors: {inputs: {in1: pro-line}, outputs: {thru1: pro-line}, role: loudspeaker, mute: {by: person, at: knob}}
  phones: {inputs: {in1: pro-line}, role: headphone, mute: {by: person, at: knob}}
  recorder: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 4, modes: {1: half-normal, 2-4: isolated}}
matrices:
  grid: {inputs: 1, outputs: 1}
wiring:
  - stereo/out1 -> left/in1
  - desk/out1 -> main/t1
  - main/b1 -> grid/in1
  - grid/out1 -> monitors/in1
  - desk/out2 -> main/t2
  - main/b3 -> phones/in1
`

func readHall(t *testing.T) *studio.Studio {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(hall))
	if problems.Errors() {
		t.Fatal(problems)
	}
	return s
}

func TestLoudPorts(t *testing.T) {
	s := readHall(t)
	var got []string
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			if graph.Loud(g, p) {
				got = append(got, p.Point.String())
			}
		}
	}
	slices.Sort(got)
	want := []string{"bare/in1", "bare/out1", "left/in1", "monitors/in1", "phones/in1", "silent/in1", "silent/out1", "stereo/in1", "stereo/in2", "stereo/out1", "stereo/out2"}
	if !slices.Equal(got, want) {
		t.Errorf("loud are\n%v, want\n%v", got, want)
	}
}

// A signal is followed over a normal that a plug breaks now, through closed crosspoints alone,
// and through gear by the passes that are given.
func TestLoudFrom(t *testing.T) {
	g := graph.New(readHall(t))
	dummy := patch.Patch{Dummies: []name.Point{name.At("main", "b", 1)}}
	closed := patch.Patch{Crosspoints: []patch.Crosspoint{{Output: name.At("grid", "out", 1), Input: name.At("grid", "in", 1)}}}
	cord := patch.Patch{Cords: []patch.Cord{{A: name.At("main", "t", 2), B: name.At("main", "b", 3)}}}
	through := slices.Concat(g.Studio.Gear[0].Passes, g.Studio.Gear[0].CanPass)
	for _, c := range []struct {
		from   name.Point
		passes []studio.Pass
		in     []patch.Patch
		want   []string
	}{
		{name.At("desk", "in", 1), through, nil, nil},
		{name.At("desk", "in", 1), through, []patch.Patch{closed, dummy}, []string{"monitors"}},
		{name.At("desk", "in", 2), through, []patch.Patch{closed}, []string{"monitors"}},
		{name.At("desk", "in", 2), nil, []patch.Patch{closed}, nil},
		{name.At("desk", "out", 2), nil, nil, nil},
		{name.At("desk", "out", 2), nil, []patch.Patch{cord}, []string{"phones"}},
		{name.At("stereo", "in", 1), nil, nil, []string{"stereo"}},
		{name.At("nowhere", "in", 1), nil, nil, nil},
	} {
		state := g.Hear(graph.Contents{})
		for _, p := range c.in {
			state.Change(graph.Contents{}, g.Contents(p))
		}
		if got := graph.LoudFrom(state, []name.Point{c.from}, c.passes); !slices.Equal(got, c.want) {
			t.Errorf("with %v, %s leads to %v, want %v", c.in, c.from, got, c.want)
		}
	}
}
