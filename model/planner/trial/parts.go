package trial

import (
	"slices"

	"bayhand/model/graph"
)

// PartAt is what a jack holds.
func (r *Trial) PartAt(j int) graph.Part {
	switch p := r.Plugs[j]; p.Kind {
	case graph.Cord:
		if p.Other == graph.None {
			return graph.Part{Kind: graph.Cord, A: j, B: graph.None}
		}
		return graph.Part{Kind: graph.Cord, A: min(j, p.Other), B: max(j, p.Other)}
	case graph.Lead:
		return graph.Part{Kind: graph.Lead, A: p.Other, B: j}
	case graph.Dummy:
		return graph.Part{Kind: graph.Dummy, A: j}
	}
	return graph.Part{}
}

// WithGang are a part that is in and the crosspoints that go with it; nil where
// it is not in.
func (r *Trial) WithGang(p graph.Part) []graph.Part {
	if p.Kind != graph.Cross {
		return []graph.Part{p}
	}
	if !slices.Contains(r.State.Behind(r.Crosses[p.A].Output), p.A) {
		return nil
	}
	out := []graph.Part{p}
	for _, x := range r.Ganged[p.A] {
		if x != p.A && x != graph.None && slices.Contains(r.State.Behind(r.Crosses[x].Output), x) {
			out = append(out, graph.Part{Kind: graph.Cross, A: x})
		}
	}
	return out
}
