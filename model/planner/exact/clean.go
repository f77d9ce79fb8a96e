package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/trial"
)

// isClean says whether nothing is wrong with a draft but what it lacks.
func (r *repairer) isClean(d graph.Patch) bool {
	t := trial.New(r.problem, d)
	_, _, stray := r.stray(t)
	return !stray
}

// stray finds a node with a source that must not come there even where nothing is asked,
// or with a second one.
func (r *repairer) stray(t *trial.Trial) (node, source int, found bool) {
	for at := range t.State.Nets() {
		if t.FaultsOf[at] == 0 {
			continue
		}
		drivers := t.State.DriversOn(at)
		for _, n := range t.State.NodesOf(at) {
			if len(drivers) > 1 && r.DriverNode(drivers[1]) == n {
				return n, graph.None, true
			}
			for _, in := range r.Nodes[n].Inputs {
				for i, s := range t.Hears(in) {
					if i > 0 || !r.problem.Accepts(in, s, true) {
						return n, s, true
					}
				}
			}
		}
	}
	return graph.None, graph.None, false
}

// clean takes out what brings sources to where they must not be; ok is false where that
// cannot be.
func (r *repairer) clean(d graph.Patch) (clean graph.Patch, ok bool) {
	t := trial.New(r.problem, d)
	for range len(r.problem.Jacks) + len(r.problem.Outputs) {
		n, s, found := r.stray(t)
		if !found {
			return t.Patch(), true
		}
		if !r.keepApart(t, n, s) {
			break
		}
	}
	return d, false
}

// keepApart keeps a source from a node, or parts the outputs that meet there: it takes out
// what is in on the way, or puts a dummy in a jack that breaks it.
func (r *repairer) keepApart(t *trial.Trial, node, source int) bool {
	var way []graph.Step
	if source == graph.None {
		way = t.State.Path(node, func(m int) bool { return m != node && r.drives(t, m) })
	} else {
		way = t.State.WayFrom(node, source)
	}
	for _, s := range way {
		if s.Part.Kind != graph.HeldNormal && s.Part.Kind != 0 {
			t.Change(t.WithGang(s.Part), nil)
			return true
		}
	}
	for _, s := range way {
		if s.Part.Kind != graph.HeldNormal {
			continue
		}
		m := r.Normals[s.Part.A]
		for _, j := range []int{m.B, m.A} {
			if m.Breaks(j) && r.problem.Usable(j) && t.Plugs[j].Kind == 0 {
				t.Change(nil, []graph.Part{{Kind: graph.Dummy, A: j}})
				return true
			}
		}
	}
	return false
}

func (r *repairer) drives(t *trial.Trial, n int) bool {
	return len(r.Nodes[n].Sources) > 0 || slices.ContainsFunc(r.Nodes[n].Outputs, t.State.Drives)
}
