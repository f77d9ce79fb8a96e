package planner

import (
	"slices"

	"bayhand/model/graph"
)

// gives says whether a draft gives the session, by package heard, and goes the
// ways that it asks for.
func (t *task) gives(d graph.Patch) bool {
	return !t.Parted(d) && !d.Shared() && len(t.judge.Faults(t.room.Hear(t.Named(d)))) == 0 && t.goes(d)
}

// goes says whether every want goes the way that it asks for.
func (t *task) goes(d graph.Patch) bool {
	if !t.asksForWays() {
		return true
	}
	n := t.stateOf(d)
	for _, w := range t.session.Wants {
		if len(w.Via)+len(w.Avoid) > 0 {
			if _, ok := t.wayOf(n, w); !ok {
				return false
			}
		}
	}
	return true
}

// pruned takes everything out of a draft without which the session is still
// given: what is new first, then what is in now; crosspoints before cords. It
// goes over the draft until nothing more can go.
func (t *task) pruned(d graph.Patch) graph.Patch {
	r := t.try(d)
	if r.wrong() > 0 {
		return d
	}
	for more := true; more; {
		more = false
		for _, p := range t.parts(d) {
			out := r.withGang(p)
			if out == nil {
				continue
			}
			if r.change(out, nil); r.wrong() == 0 && (!t.asksForWays() || t.goes(r.patch())) {
				more = true
				continue
			}
			r.change(nil, out)
		}
		d = r.patch()
	}
	return d
}

// withGang are a part that is in and the crosspoints that go with it; nil where
// it is not in.
func (r *trial) withGang(p graph.Part) []graph.Part {
	if p.Kind != graph.Cross {
		return []graph.Part{p}
	}
	if !slices.Contains(r.state.Behind(r.Crosses[p.A].Output), p.A) {
		return nil
	}
	out := []graph.Part{p}
	for _, x := range r.Ganged[p.A] {
		if x != p.A && x != graph.None && slices.Contains(r.state.Behind(r.Crosses[x].Output), x) {
			out = append(out, graph.Part{Kind: graph.Cross, A: x})
		}
	}
	return out
}

// parts are what a draft holds, in the order in which it is tried without.
func (t *task) parts(d graph.Patch) []graph.Part {
	var fresh, old []graph.Part
	sort := func(p graph.Part, in bool) {
		if in {
			old = append(old, p)
			return
		}
		fresh = append(fresh, p)
	}
	for _, x := range d.Crosses {
		sort(graph.Part{Kind: graph.Cross, A: x}, slices.Contains(t.present.Crosses, x))
	}
	for _, c := range d.Cords {
		sort(graph.Part{Kind: graph.Cord, A: c[0], B: c[1]}, slices.Contains(t.present.Cords, c))
	}
	for _, l := range d.Leads {
		sort(graph.Part{Kind: graph.Lead, A: l[0], B: l[1]}, slices.Contains(t.present.Leads, l))
	}
	for _, j := range d.Dummies {
		sort(graph.Part{Kind: graph.Dummy, A: j}, slices.Contains(t.present.Dummies, j))
	}
	return append(fresh, old...)
}
