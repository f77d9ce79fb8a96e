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

// Holds says whether a part is in.
func (r *Trial) Holds(p graph.Part) bool {
	if p.Kind == graph.Cross {
		return slices.Contains(r.State.Behind(r.Crosses[p.A].Output), p.A)
	}
	return r.PartAt(p.Jacks()[0]) == p
}

// WithGang are a part that is in and the crosspoints that go with it; nil where
// it is not in.
func (r *Trial) WithGang(p graph.Part) []graph.Part {
	if p.Kind != graph.Cross {
		return []graph.Part{p}
	}
	if !r.Holds(p) {
		return nil
	}
	out := []graph.Part{p}
	for _, x := range r.Ganged[p.A] {
		if q := (graph.Part{Kind: graph.Cross, A: x}); x != p.A && x != graph.None && r.Holds(q) {
			out = append(out, q)
		}
	}
	return out
}
