package problem_test

import (
	"slices"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/planner/byhand"
	"bayhand/model/planner/problem"
)

const room = `studio: home
gear:
  synth: {outputs: {out1-4: pro-line}}
  desk: {inputs: {in1-4: pro-line}, outputs: {out1-2: pro-line}}
  effect: {inputs: {in1: pro-line}, outputs: {out1: pro-line}, passes: [in1 -> out1]}
bays:
  main: {pairs: 8, jack: bantam, modes: {1-2: half-normal, 3-4: isolated, 5: normal, 6-7: isolated, 8: isolated}}
matrices: {relay: {inputs: 2, outputs: 2, kind: contacts}}
wiring:
  - synth/out1-4 -> main/t1-4
  - main/b1-4 -> desk/in1-4
  - main/b6 -> effect/in1
  - effect/out1 -> main/t6
  - main/b7 -> relay/in1
  - relay/out1 -> main/t7
dummies: 1
faulty: [main/b8]
`

// What each input may hear, as the session says it: a want excludes all else, and what is
// not named may hear what it hears at rest.
func TestAccepts(t *testing.T) {
	r := byhand.Read(t, room, "connect: [synth/out3 -> desk/in3]\nsilent: [desk/in4]\n", "")
	p := r.Problem(t, problem.Options{})
	for _, test := range []struct {
		in, source string
		want, soft bool
	}{
		{"desk/in3", "synth/out3", true, true},
		{"desk/in3", "synth/out1", false, false},
		{"desk/in4", "synth/out4", false, false},
		{"desk/in1", "synth/out1", true, true},
		{"desk/in1", "synth/out2", false, false},
	} {
		in, source := p.Number[point(t, p, test.in)], p.SourceOf[point(t, p, test.source)]
		if got := p.Accepts(in, source, false); got != test.want {
			t.Errorf("%s from %s: %v", test.in, test.source, got)
		}
		if got := p.Accepts(in, source, true); got != test.soft {
			t.Errorf("%s from %s, where asks may be dropped: %v", test.in, test.source, got)
		}
	}
	if n := len(p.Wanted); n != 1 {
		t.Errorf("%d sources are wanted", n)
	}
}

func point(t *testing.T, p *problem.Problem, text string) name.Point {
	t.Helper()
	at := slices.IndexFunc(p.Points, func(p name.Point) bool { return p.String() == text })
	if at < 0 {
		t.Fatalf("no point %s", text)
	}
	return p.Points[at]
}

// Whether patches give a session and can be plugged, each reckoned on paper.
func TestGivesAndSound(t *testing.T) {
	const asked = "connect: [synth/out1 -> desk/in1, synth/out3 -> desk/in3]\n"
	for _, test := range []struct {
		name, in     string
		gives, sound bool
	}{
		{"one is lacking", "", false, true},
		{"both", "cords: [main/t3 - main/b3]", true, true},
		{"by a detour", "cords: [main/t3 - main/b7, main/t7 - main/b3], crosspoints: {relay: {out1: in1}}", true, true},
		{"the crosspoint of the detour is open", "cords: [main/t3 - main/b7, main/t7 - main/b3]", false, true},
		{"a normal is broken", "cords: [main/t3 - main/b3], dummies: [main/b1]", false, true},
		{"two sources joined", "cords: [main/t3 - main/b3, main/t2 - main/b1]", false, true},
		{"more dummies than owned", "cords: [main/t3 - main/b3], dummies: [main/t4, main/b4]", true, false},
		{"a faulty jack", "cords: [main/t3 - main/b3, {ends: [main/b8]}]", true, false},
	} {
		r := byhand.Read(t, room, asked, "")
		p := r.Problem(t, problem.Options{})
		d := r.Draft(t, p, test.in)
		if p.Gives(d) != test.gives || p.Sound(d) != test.sound {
			t.Errorf("%s: gives %v, sound %v", test.name, p.Gives(d), p.Sound(d))
		}
	}
}

// Which plugs could be worth it for the normals that they break.
func TestGuards(t *testing.T) {
	r := byhand.Read(t, room, "silent: [desk/in1]\n", "")
	p := r.Problem(t, problem.Options{})
	for jack, want := range map[string]bool{
		"main/b1": true,  // parts synth/out1 from desk/in1, which is to be silent
		"main/t1": false, // the top of a half-normal breaks nothing
		"main/b2": false, // desk/in2 may hear synth/out2, and nothing else comes there but by this plug
		"main/b3": false, // an isolated pair has no normal
	} {
		if got := p.Guards(r.Jack(t, p, jack)); got != want {
			t.Errorf("%s: %v", jack, got)
		}
	}
	for jack, want := range map[string]bool{"main/t8": true, "main/t3": false, "main/b7": false} {
		if got := p.EndsAt(r.Jack(t, p, jack)); got != want {
			t.Errorf("a plug in %s stands alone: %v", jack, got)
		}
	}
}

// A want that goes by gear, or avoids it, is kept by the way and not by what is heard.
func TestWays(t *testing.T) {
	for _, test := range []struct {
		asked, in string
		want      bool
	}{
		{"connect: [{from: synth/out3, to: desk/in3, via: [relay]}]\n", "cords: [main/t3 - main/b7, main/t7 - main/b3], crosspoints: {relay: {out1: in1}}", true},
		{"connect: [{from: synth/out3, to: desk/in3, via: [relay]}]\n", "cords: [main/t3 - main/b3]", false},
		{"connect: [{from: synth/out3, to: desk/in3, avoid: [relay]}]\n", "cords: [main/t3 - main/b3]", true},
		{"connect: [{from: synth/out3, to: desk/in3, avoid: [relay]}]\n", "cords: [main/t3 - main/b7, main/t7 - main/b3], crosspoints: {relay: {out1: in1}}", false},
	} {
		r := byhand.Read(t, room, test.asked, "")
		p := r.Problem(t, problem.Options{})
		if !p.AsksForWays() || p.KeepsWays(r.Draft(t, p, test.in)) != test.want {
			t.Errorf("%s%s: %v", test.asked, test.in, !test.want)
		}
	}
}

// What is new is tried first, crosspoints before cords, and what is in comes last.
func TestPartsInOrder(t *testing.T) {
	r := byhand.Read(t, room, "connect: []\n", "cords: [main/t3 - main/b3]")
	p := r.Problem(t, problem.Options{})
	d := r.Draft(t, p, "cords: [main/t3 - main/b3, main/t4 - main/b4], crosspoints: {relay: {out1: in1}}, dummies: [main/b1]")
	kept := p.Present.Cords[0]
	want := []graph.Part{
		{Kind: graph.Cross, A: d.Crosses[0]},
		{Kind: graph.Cord, A: d.Cords[1][0], B: d.Cords[1][1]},
		{Kind: graph.Dummy, A: d.Dummies[0]},
		{Kind: graph.Cord, A: kept[0], B: kept[1]},
	}
	if got := p.Parts(d); !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}
