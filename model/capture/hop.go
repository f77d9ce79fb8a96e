package capture

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// hops finds the outputs from which a chain goes on, for each input that it can go
// through: output n for input n of gear with channels, and all outputs of gear that
// passes its only input to them. Any other way through gear takes two lines, since no
// single name stands for both of its ports.
func hops(s *studio.Studio) map[name.Point][]name.Point {
	through := map[name.Point][]name.Point{}
	for _, g := range s.Gear {
		if g.Channels == 0 {
			if in, outs, ok := single(g); ok {
				through[in] = outs
			}
			continue
		}
		for n := 1; n <= g.Channels; n++ {
			through[name.At(g.Name, "in", n)] = []name.Point{name.At(g.Name, "out", n)}
		}
	}
	return through
}

// single is the way through gear with one input, which goes to all outputs.
func single(g studio.Gear) (in name.Point, outs []name.Point, ok bool) {
	var ins []name.Point
	for _, p := range g.Ports {
		if p.Direction == studio.Input {
			ins = append(ins, p.Point)
		} else {
			outs = append(outs, p.Point)
		}
	}
	if len(ins) != 1 || len(outs) == 0 {
		return in, nil, false
	}
	dead := func(out name.Point) bool { return !slices.Contains(g.Passes, studio.Pass{In: ins[0], Out: out}) }
	return ins[0], outs, !slices.ContainsFunc(outs, dead)
}
