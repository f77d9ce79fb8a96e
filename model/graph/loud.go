package graph

import (
	"slices"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Loud is said of what a loudspeaker or headphone sounds by: their own inputs; a line at
// loudspeaker level, and an output that only a power amplifier has, whatever the file calls it;
// and the inputs by which that output is fed, since a power amplifier has no other use for them.

// Limits of what a line output can be: 50 W into 4 ohm are 14.14 V, +25.2 dBu,
// and 100 W into 8 ohm 28.28 V, +31.3 dBu (from the definition of the dBu).
const (
	mostOfLine  = measure.Level(26)
	leastOfLine = measure.Impedance(4)
)

// Powered says whether a port belongs to a power amplifier or a passive
// loudspeaker.
func Powered(p studio.Port) bool {
	amplifier := p.Direction == studio.Output && p.Line.Source <= leastOfLine && p.Line.Max > mostOfLine
	return p.Line.Kind == studio.LoudspeakerLevel || amplifier
}

// Loud says whether a loudspeaker or headphone sounds by a port of gear.
func Loud(g studio.Gear, p studio.Port) bool {
	switch {
	case Powered(p):
		return true
	case p.Direction != studio.Input:
		return false
	}
	return g.Role == studio.Loudspeaker || g.Role == studio.Headphone || len(poweredBy(g, p.Point)) > 0
}

// poweredBy are the outputs at loudspeaker level by which an input of gear comes out, or may: where
// the file says nothing of what feeds such an output, each input does.
func poweredBy(g studio.Gear, in name.Point) []name.Point {
	passes := slices.Concat(g.Passes, g.CanPass)
	var outs []name.Point
	for _, out := range g.Ports {
		if out.Direction != studio.Output || !Powered(out) {
			continue
		}
		feeds := func(p studio.Pass) bool { return p.Out == out.Point }
		if slices.Contains(passes, studio.Pass{In: in, Out: out.Point}) || !slices.ContainsFunc(passes, feeds) {
			outs = append(outs, out.Point)
		}
	}
	return outs
}

// Driven are the inputs that a power amplifier drives by one of its own, over metal that no patch
// can part; none where it is none, or where one of the outputs leads to what the studio does
// not have.
func Driven(g *Graph, by studio.Gear, in name.Point) []name.Point {
	var all []name.Point
	for _, out := range poweredBy(by, in) {
		inputs := g.Nodes[g.Node[g.Number[out]]].Inputs
		if len(inputs) == 0 {
			return nil
		}
		for _, at := range inputs {
			all = append(all, g.Points[at])
		}
	}
	return all
}

// ByNormals are some nodes and all that normals join with them while nothing is plugged.
func ByNormals(g *Graph, nodes []int) []int {
	seen := make([]bool, len(g.Nodes))
	var reached []int
	for _, n := range nodes {
		reached = meet(n, seen, reached)
	}
	for i := 0; i < len(reached); i++ {
		for _, m := range g.Nodes[reached[i]].Normals {
			reached = meet(g.Across(m, reached[i]), seen, reached)
		}
	}
	return reached
}

// LoudFrom are the names of gear that may sound when a signal comes to some points, in the order
// of the studio: over the metal of the patch and every normal, since a plug that breaks one may
// leave, through its crosspoints, and through gear by some passes. It takes time linear in the
// studio.
func LoudFrom(s *State, points []name.Point, passes []studio.Pass) []string {
	g := s.Graph
	through := map[int][]int{}
	for _, p := range g.Numbers(passes) {
		through[g.Node[p.In]] = append(through[g.Node[p.In]], g.Node[p.Out])
	}
	seen := make([]bool, len(g.Nodes))
	var reached []int
	come := func(n int) { reached = meet(n, seen, reached) }
	for _, p := range points {
		if at, ok := g.Number[p]; ok {
			come(g.Node[at])
		}
	}
	for i := 0; i < len(reached); i++ {
		n := reached[i]
		for _, m := range g.Nodes[n].Normals {
			come(g.Across(m, n))
		}
		s.EachLink(n, func(_ Part, to int) { come(to) })
		for _, x := range s.ahead[n] {
			come(g.Outputs[g.Crosses[x].Output].Node)
		}
		for _, to := range through[n] {
			come(to)
		}
	}
	var gear []string
	for _, one := range g.Studio.Gear {
		if slices.ContainsFunc(one.Ports, func(p studio.Port) bool { return Loud(one, p) && seen[g.Node[g.Number[p.Point]]] }) {
			gear = append(gear, one.Name)
		}
	}
	return gear
}
