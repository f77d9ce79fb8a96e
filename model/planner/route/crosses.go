package route

import (
	"slices"

	"bayhand/model/graph"
)

// crossHops are the ways on by crosspoints that are open.
func (r *router) crossHops(n int) {
	cost := r.best[n].cost + presentCost
	for _, h := range insAt(r.Graph, r.tables, n) {
		if r.beaten(int(h.to), cost) {
			continue
		}
		x := int(h.cross)
		if switching, ok := r.switching(int(h.output)); ok && !r.Incomplete(x) {
			r.reach(n, graph.Part{Kind: graph.Cross, A: x}, int(h.to), r.crossing(x, switching), graph.Part{})
		}
	}
}

// insAt are the crosspoints that begin at a node.
func insAt(g *graph.Graph, t *tables, n int) []inHop {
	if t.ins[n] == nil {
		for _, x := range g.Nodes[n].Ins {
			o := g.Crosses[x].Output
			t.ins[n] = append(t.ins[n], inHop{int32(x), int32(o), int32(g.Outputs[o].Node)})
		}
	}
	return t.ins[n]
}

// switching is what it costs to have an output listen to the signal; false where that cannot
// be.
func (r *router) switching(o int) (cost int, ok bool) {
	if r.ousting && slices.Contains(r.kept, o) && isBusy(r.draft, o) {
		return 0, false
	}
	if r.switched[o] == 0 {
		r.switched[o] = -1
		if cost, ok = r.toSwitch(o); ok {
			r.switched[o] = cost + 1
		}
	}
	return r.switched[o] - 1, r.switched[o] > 0
}

// isBusy says whether an output listens to what is of worth.
func isBusy(d *draft, o int) bool {
	behind := d.trial.State.Behind(o)
	return len(behind) > 0 && !d.idle.crosses[behind[0]]
}

// toSwitch is switching for a way that does not go through the output already.
func (r *router) toSwitch(o int) (cost int, ok bool) {
	cost = crossCost
	if isBusy(r.draft, o) {
		if !r.ousting {
			return 0, false
		}
		cost += ousterCost
	}
	out := r.Outputs[o].Node
	if !r.enters(out, r.source, r.to) || r.Outputs[o].Relay && len(r.Always(out)) > 0 {
		return 0, false
	}
	return cost + againCost/4*r.ousted.outputs[o], true
}
