package planner

import (
	"slices"

	"bayhand/model/graph"
)

// trial is a patch that changes part by part. It weighs what is wrong with the
// patch as package heard would; heard has the last word.
type trial struct {
	*graph.Graph
	task  *task
	state *graph.State
	plugs []plugged // by jack
	// leads are the jacks where the leads of ports are; None for none.
	leads    []int
	feedback *graph.Feedback
	// faultsOf weighs what is wrong on each net, faults on all, and loops says
	// whether a signal comes back to where it was.
	faultsOf []int
	faults   int
	loops    bool
	// out and in are for changes on their way to the state.
	out, in graph.Contents
}

// plugged is what a jack holds: of a cord the jack at its other end, of a lead
// its port.
type plugged struct {
	kind  graph.Kind
	other int
}

// How much it weighs what is wrong. A want that is not heard weighs more than
// what can be kept away with a dummy afterwards.
const (
	missingWeight = 8
	joinedWeight  = 4
	loopWeight    = 4
	strayWeight   = 1
)

func (t *task) try(d graph.Patch) *trial {
	r := &trial{
		Graph: t.Graph, task: t, state: t.stateOf(d), plugs: make([]plugged, len(t.Jacks)), leads: slices.Repeat([]int{graph.None}, len(t.Ports)),
		feedback: t.Feedback(t.session.Inside, t.session.Loops),
	}
	for _, p := range d.Parts() {
		r.note(p, true)
	}
	made := r.state.InUse()
	r.judge(nil, made)
	r.loops = r.state.GoesRound(r.feedback, made)
	return r
}

// wrong weighs what is wrong with the patch; 0 where it gives the session.
func (r *trial) wrong() int {
	if r.loops {
		return r.faults + loopWeight
	}
	return r.faults
}

// change takes parts out and puts others in, as one change. What is taken out
// must be in, and what is put in must have a free place by then.
func (r *trial) change(out, in []graph.Part) {
	r.out.Reset()
	r.in.Reset()
	for _, p := range out {
		r.note(p, false)
		r.out.Add(r.task.Graph, p)
	}
	for _, p := range in {
		r.note(p, true)
		r.in.Add(r.task.Graph, p)
	}
	gone, stale := r.state.Change(r.out, r.in)
	r.judge(gone, stale)
	if r.loops {
		stale = r.state.InUse()
	}
	r.loops = r.state.GoesRound(r.feedback, stale)
}

// judge weighs what is wrong on nets that are gone, or that have changed.
func (r *trial) judge(gone, stale []int) {
	for len(r.faultsOf) < r.state.Nets() {
		r.faultsOf = append(r.faultsOf, 0)
	}
	for _, at := range gone {
		r.faults -= r.faultsOf[at]
		r.faultsOf[at] = 0
	}
	for _, at := range stale {
		r.faults -= r.faultsOf[at]
		r.faultsOf[at] = r.judgeNet(at)
		r.faults += r.faultsOf[at]
	}
}

// note keeps account of what each jack and port holds.
func (r *trial) note(p graph.Part, in bool) {
	set := func(j int, is plugged) {
		r.plugs[j] = plugged{}
		if in {
			r.plugs[j] = is
		}
	}
	switch p.Kind {
	case graph.Cord:
		set(p.A, plugged{graph.Cord, p.B})
		if p.B != graph.None {
			set(p.B, plugged{graph.Cord, p.A})
		}
	case graph.Dummy:
		set(p.A, plugged{graph.Dummy, graph.None})
	case graph.Lead:
		set(p.B, plugged{graph.Lead, p.A})
		r.leads[p.A] = graph.None
		if in {
			r.leads[p.A] = p.B
		}
	case graph.Cross, graph.HeldNormal:
	}
}

// patch is what the trial holds now.
func (r *trial) patch() graph.Patch {
	var d graph.Patch
	for j, p := range r.plugs {
		switch {
		case p.kind == graph.Cord && (p.other == graph.None || p.other > j):
			d.Cords = append(d.Cords, [2]int{j, p.other})
		case p.kind == graph.Lead:
			d.Leads = append(d.Leads, [2]int{p.other, j})
		case p.kind == graph.Dummy:
			d.Dummies = append(d.Dummies, j)
		}
	}
	for o := range r.Outputs {
		d.Crosses = append(d.Crosses, r.state.Behind(o)...)
	}
	d.Sort()
	return d
}
