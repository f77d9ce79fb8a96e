package capture

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// hops finds, for each input that a chain can go through, the outputs that it
// goes on from: channel n of gear with channels, and all outputs of gear that passes
// its one input to them. Other ways through gear need
// two lines, since no one name stands for both ports.
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
