package capture

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// hops finds, for each input that a chain can go through, the output that it
// goes on from: channel n of gear with channels, and the one output of gear
// that passes its one input to it. Other ways through gear need two lines,
// since no one name stands for both ports.
func hops(s *studio.Studio) map[name.Point]name.Point {
	through := map[name.Point]name.Point{}
	for _, g := range s.Gear {
		if g.Channels == 0 {
			if in, out, ok := single(g); ok {
				through[in] = out
			}
			continue
		}
		for n := 1; n <= g.Channels; n++ {
			through[name.At(g.Name, "in", n)] = name.At(g.Name, "out", n)
		}
	}
	return through
}

// single is the way through gear with one input and one output.
func single(g studio.Gear) (in, out name.Point, ok bool) {
	var ins, outs []name.Point
	for _, p := range g.Ports {
		if p.Direction == studio.Input {
			ins = append(ins, p.Point)
		} else {
			outs = append(outs, p.Point)
		}
	}
	if len(ins) != 1 || len(outs) != 1 {
		return in, out, false
	}
	way := studio.Pass{In: ins[0], Out: outs[0]}
	return ins[0], outs[0], slices.Contains(g.Passes, way)
}
