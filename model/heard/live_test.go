package heard_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// drawStudio draws a bay of a few pairs in any mode, with sources and
// destinations wired to any of its jacks, a tie, a mult, gear that passes, and
// a matrix of either kind in the middle.
func drawStudio(t *rapid.T) *studio.Studio {
	modes := []studio.Mode{studio.FullNormal, studio.HalfNormal, studio.HalfNormalTop, studio.Isolated, studio.Parallel}
	bay := studio.Bay{Name: "main", Modes: rapid.SliceOfN(rapid.SampledFrom(modes), 5, 9).Draw(t, "modes")}
	kind := rapid.SampledFrom([]studio.MatrixKind{studio.Amplifiers, studio.Contacts}).Draw(t, "kind")
	matrix := studio.Matrix{Name: "grid", Inputs: 3, Outputs: 3, Kind: kind, HighImpedance: rapid.Bool().Draw(t, "lets go")}
	s := &studio.Studio{Bays: []studio.Bay{bay}, Matrices: []studio.Matrix{matrix}}
	jacks := rapid.Permutation(jacksOf(bay)).Draw(t, "jacks")
	next := func() name.Point {
		j := jacks[0]
		jacks = jacks[1:]
		return j
	}
	for i := range 2 {
		g := studio.Gear{Name: fmt.Sprintf("g%d", i)}
		in, out := name.At(g.Name, "in", 1), name.At(g.Name, "out", 1)
		g.Ports = []studio.Port{{Point: in, Direction: studio.Input}, {Point: out, Direction: studio.Output}}
		if rapid.Bool().Draw(t, "passes") {
			g.Passes = []studio.Pass{{In: in, Out: out}}
		}
		s.Gear = append(s.Gear, g)
		s.Wires = append(s.Wires, studio.Wire{From: out, To: next()}, studio.Wire{From: next(), To: in})
	}
	s.Wires = append(s.Wires, studio.Wire{From: next(), To: matrix.In(1)}, studio.Wire{From: matrix.Out(1), To: next()})
	s.Ties = []studio.Tie{{A: next(), B: next()}}
	return s
}

func jacksOf(bay studio.Bay) []name.Point {
	var jacks []name.Point
	for n := range bay.Pairs() {
		jacks = append(jacks, bay.TopJack(n+1), bay.BottomJack(n+1))
	}
	return jacks
}

// drawChange draws something to take out of a patch or to put into it.
func drawChange(t *rapid.T, s *studio.Studio, p patch.Patch) (out, in patch.Patch) {
	free := slices.DeleteFunc(jacksOf(s.Bays[0]), func(j name.Point) bool { return slices.Contains(p.Plugs(), j) })
	points := rapid.Permutation(free)
	switch rapid.IntRange(0, 5).Draw(t, "what") {
	case 0:
		if len(free) > 1 {
			two := points.Draw(t, "jacks")
			in.Cords = []patch.Cord{{A: two[0], B: two[1]}}
		}
	case 1:
		if len(free) > 0 {
			in.Dummies = points.Draw(t, "jacks")[:1]
		}
	case 2:
		if len(p.Cords) > 0 {
			out.Cords = []patch.Cord{rapid.SampledFrom(p.Cords).Draw(t, "cord")}
			out.Cords[0].A, out.Cords[0].B = out.Cords[0].B, out.Cords[0].A
		}
	case 3:
		if len(p.Dummies) > 0 {
			out.Dummies = []name.Point{rapid.SampledFrom(p.Dummies).Draw(t, "dummy")}
		}
	case 4:
		if len(p.Crosspoints) > 0 {
			out.Crosspoints = []patch.Crosspoint{rapid.SampledFrom(p.Crosspoints).Draw(t, "crosspoint")}
		}
	case 5:
		m := s.Matrices[0]
		c := patch.Crosspoint{Output: m.Out(rapid.IntRange(1, 3).Draw(t, "output")), Input: m.In(rapid.IntRange(1, 3).Draw(t, "input"))}
		if !slices.Contains(p.Crosspoints, c) {
			in.Crosspoints = []patch.Crosspoint{c}
		}
	}
	return out, in
}

func apply(p, out, in patch.Patch) patch.Patch {
	p = p.Clone()
	p.Cords = slices.DeleteFunc(p.Cords, func(c patch.Cord) bool { return slices.ContainsFunc(out.Cords, c.Same) })
	p.Dummies = slices.DeleteFunc(p.Dummies, func(j name.Point) bool { return slices.Contains(out.Dummies, j) })
	p.Crosspoints = slices.DeleteFunc(p.Crosspoints, func(c patch.Crosspoint) bool { return slices.Contains(out.Crosspoints, c) })
	p.Cords = append(p.Cords, in.Cords...)
	p.Dummies = append(p.Dummies, in.Dummies...)
	p.Crosspoints = append(p.Crosspoints, in.Crosspoints...)
	return p
}

// answers is all that a state says of a studio.
func answers(s *studio.Studio, state *heard.State) map[string]string {
	all := map[string]string{
		"contentions": fmt.Sprint(state.Contentions()),
		"contended":   fmt.Sprint(state.Contended()),
		"loops":       fmt.Sprint(state.Loops(nil, nil)),
	}
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			all[p.Point.String()] = texts(state.Hears(p.Point)) + " / " + texts(state.Reaches(p.Point)) + " / " + texts(state.Net(p.Point)) + " / " + texts(state.Origins(p.Point, nil))
		}
	}
	for n := range s.Bays[0].Pairs() {
		all[fmt.Sprint("normal ", n+1)] = fmt.Sprint(state.NormalHolds("main", n+1))
	}
	return all
}

// However a room came to its patch, step by step, it answers as the same patch
// put in at once.
func TestLiveAgreesWithHear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStudio(t)
		room := heard.NewRoom(s)
		var p patch.Patch
		live := room.Live(p)
		for range rapid.IntRange(1, 20).Draw(t, "changes") {
			out, in := drawChange(t, s, p)
			p = apply(p, out, in)
			live.Change(out, in)
			if diff := cmp.Diff(answers(s, room.Hear(p)), answers(s, live.State)); diff != "" {
				t.Fatalf("after %+v out, %+v in:\n%s", out, in, diff)
			}
		}
	})
}
