package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/problem"
)

// window is the part of a patch that a search may change: the plugs of some jacks and
// the crosspoints of some outputs. All else stays as it is in the patch, so that most of
// the room is no question, and the search costs what the window holds and not what the
// room does. A nil window is the whole room.
//
// What varies is a node on whose net a part may go in or out: other drivers may come to
// it. On all other nodes the drivers are those of the patch.
type window struct {
	problem *problem.Problem
	patch   graph.Patch
	state   *graph.State
	// at is what each jack holds in the patch, portAt the jack of each port's lead.
	at     []graph.Part
	portAt []int
	// jacks, ports and outputs are those that the search may change.
	jacks, ports, outputs []bool
	// varying and hearing are by node; unsure says of an amplifier's output that what it carries may change.
	varying, hearing, unsure []bool
	// wanted are the sources that may come anywhere else than they are.
	wanted []int
}

// frees says whether the search may change what a jack holds.
func (w *window) frees(j int) bool { return w == nil || w.jacks[j] }

// freesPort says whether the lead of a port may be another.
func (w *window) freesPort(p int) bool { return w == nil || w.ports[p] }

// switches says whether an output may listen to something else.
func (w *window) switches(o int) bool { return w == nil || w.outputs[o] }

// varies says whether another driver may come to a node.
func (w *window) varies(n int) bool { return w == nil || w.varying[n] }

// mayCarry says whether an amplifier's output may carry something else.
func (w *window) mayCarry(o int) bool { return w == nil || w.unsure[o] }

// hears says whether what is heard at a node may change.
func (w *window) hears(n int) bool { return w == nil || w.hearing[n] }

// mayHear says whether what is heard at a node may change, by the amplifiers of which
// that is known.
func (w *window) mayHear(n int) bool {
	if w.varying[n] {
		return true
	}
	for _, k := range w.state.DriversOn(w.state.NetOf(n)) {
		if _, ok := w.problem.SourceAt(k); !ok && w.unsure[w.problem.Amplifier(k)] {
			return true
		}
	}
	return false
}

// brought is the literal of a source at a node of which the window changes nothing.
func (w *window) brought(n, source int) clause.Lit {
	_, heard := slices.BinarySearch(w.heardOn(n), source)
	return constant(heard)
}

// heardOn are the sources that are heard at a node in the patch, in order.
func (w *window) heardOn(n int) []int { return w.state.HeardOn(w.state.NetOf(n)) }

// holds says whether a part is in the patch.
func (w *window) holds(p graph.Part) bool {
	switch p.Kind {
	case graph.Cross:
		_, in := slices.BinarySearch(w.patch.Crosses, p.A)
		return in
	case graph.Lead:
		return w.at[p.B] == p
	case graph.Cord, graph.Dummy, graph.HeldNormal:
	}
	return w.at[p.A] == p
}

// constant is a literal whose value is known.
func constant(is bool) clause.Lit {
	if is {
		return clause.True
	}
	return clause.False
}

// newWindow is a window that frees nothing yet.
func newWindow(p *problem.Problem, d graph.Patch) *window {
	w := &window{
		problem: p, patch: d, state: p.State(d), at: make([]graph.Part, len(p.Jacks)), portAt: slices.Repeat([]int{graph.None}, len(p.Ports)),
		jacks: make([]bool, len(p.Jacks)), ports: make([]bool, len(p.Ports)), outputs: make([]bool, len(p.Outputs)),
		varying: make([]bool, len(p.Nodes)), hearing: make([]bool, len(p.Nodes)), unsure: make([]bool, len(p.Outputs)),
	}
	for _, part := range d.Parts() {
		for _, j := range part.Jacks() {
			w.at[j] = part
		}
		if part.Kind == graph.Lead {
			w.portAt[part.A] = part.B
		}
	}
	return w
}

// freeJack frees a jack, and where the plug in it belongs to another, that as well.
func (w *window) freeJack(j int) {
	if w.jacks[j] {
		return
	}
	w.jacks[j] = true
	switch p := w.at[j]; p.Kind {
	case graph.Cord:
		for _, k := range p.Jacks() {
			w.freeJack(k)
		}
	case graph.Lead:
		w.ports[p.A] = true
	case graph.Cross, graph.Dummy, graph.HeldNormal:
	}
}

// freePort frees the lead of a port.
func (w *window) freePort(port int) {
	w.ports[port] = true
	if j := w.portAt[port]; j != graph.None {
		w.freeJack(j)
	}
}

// freeOutput frees an output, and those that are switched with it.
func (w *window) freeOutput(o int) {
	if w.outputs[o] {
		return
	}
	w.outputs[o] = true
	for _, x := range w.problem.Outputs[o].Crosses {
		for _, y := range w.problem.Ganged[x] {
			if y != graph.None {
				w.freeOutput(w.problem.Crosses[y].Output)
			}
		}
	}
}

// close finds what follows from what is free.
func (w *window) close() {
	g := w.problem.Graph
	for j := range g.Jacks {
		if !w.jacks[j] {
			continue
		}
		w.vary(g.Jacks[j].Node)
		for _, m := range g.Jacks[j].Normals {
			w.vary(g.Jacks[g.OtherEnd(m, j)].Node)
		}
	}
	for p, free := range w.ports {
		if free {
			w.vary(g.Node[g.Ports[p]])
		}
	}
	for o, free := range w.outputs {
		if !free {
			continue
		}
		w.vary(g.Outputs[o].Node)
		for _, x := range g.Outputs[o].Crosses {
			if g.Outputs[o].Relay {
				w.vary(g.Crosses[x].From)
			}
		}
	}
	w.findUnsure()
	for n := range w.hearing {
		w.hearing[n] = w.mayHear(n)
	}
	w.findWanted()
}

// vary marks all nodes of a node's net.
func (w *window) vary(n int) {
	if w.varying[n] {
		return
	}
	for _, m := range w.state.NodesOf(w.state.NetOf(n)) {
		w.varying[m] = true
	}
}

// findUnsure finds the amplifiers that may carry something else: those that may be
// switched, and those that listen to what may change.
func (w *window) findUnsure() {
	for more := true; more; {
		more = false
		for _, o := range w.problem.Amplifiers {
			if w.unsure[o] {
				continue
			}
			behind := w.state.Behind(o)
			if w.outputs[o] || len(behind) > 0 && w.mayHear(w.problem.Crosses[behind[0]].From) {
				w.unsure[o], more = true, true
			}
		}
	}
}

// findWanted finds the sources that may come where they are not: those that are on
// what varies, or that an output may listen to.
func (w *window) findWanted() {
	g := w.problem.Graph
	near := map[int]bool{}
	add := func(n int) {
		for _, s := range w.heardOn(n) {
			near[s] = true
		}
	}
	for n, varies := range w.varying {
		if varies {
			add(n)
			for _, s := range g.Nodes[n].Sources {
				near[s] = true
			}
		}
	}
	for o := range g.Outputs {
		if w.unsure[o] {
			for _, x := range w.state.Behind(o) {
				add(g.Crosses[x].From)
			}
		}
		if w.outputs[o] {
			for _, x := range g.Outputs[o].Crosses {
				add(g.Crosses[x].From)
			}
		}
	}
	w.wanted = slices.DeleteFunc(slices.Clone(w.problem.Wanted), func(s int) bool { return !near[s] })
}

// driversOf are the drivers on a node that does not vary.
func (w *window) driversOf(n int) []int { return w.state.DriversOn(w.state.NetOf(n)) }
