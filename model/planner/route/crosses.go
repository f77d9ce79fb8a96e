package route

import (
	"slices"

	"bayhand/model/graph"
)

// crossHops are the ways on by crosspoints that are open.
func (r *router) crossHops(n int) {
	cost := r.best[n].cost + presentCost
	for _, h := range r.insAt(n) {
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
func (r *router) insAt(n int) []inHop {
	if r.ins[n] == nil {
		for _, x := range r.Nodes[n].Ins {
			o := r.Crosses[x].Output
			r.ins[n] = append(r.ins[n], inHop{int32(x), int32(o), int32(r.Outputs[o].Node)})
		}
	}
	return r.ins[n]
}

// switching is what it costs to have an output listen to the signal; false where that cannot
// be.
func (r *router) switching(o int) (cost int, ok bool) {
	if r.ousting && slices.Contains(r.kept, o) && r.isBusy(o) {
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
func (r *router) isBusy(o int) bool {
	behind := r.trial.State.Behind(o)
	return len(behind) > 0 && !r.idle.crosses[behind[0]]
}

// toSwitch is switching for a way that does not go through the output already.
func (r *router) toSwitch(o int) (cost int, ok bool) {
	cost = crossCost
	if r.isBusy(o) {
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
