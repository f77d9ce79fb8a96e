// Package trial is a patch that changes part by part and says after each change how
// much is wrong with it, as package heard would of the whole. What is wrong is
// weighed by net: a want that is not heard, outputs that are joined, a source that
// strays to where it must not be heard; and a loop through gear weighs on all.
// Package heard has the last word on a patch that is kept.
package trial

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/problem"
)

// Trial is a patch that changes part by part. It weighs what is wrong with the
// patch as package heard would; heard has the last word.
type Trial struct {
	*graph.Graph
	problem *problem.Problem
	State   *graph.State
	Plugs   []plugged // by jack
	// leads are the jacks where the leads of ports are; None for none.
	Leads    []int
	feedback *graph.Feedback
	// faultsOf weighs what is wrong on each net, faults on all, and loops says
	// whether a signal comes back to where it was.
	FaultsOf []int
	faults   int
	loops    bool
	// out and in are for changes on their way to the state.
	out, in graph.Contents
}

// plugged is what a jack holds: of a cord the jack at its other end, of a lead
// its port.
type plugged struct {
	Kind  graph.Kind
	Other int
}

// How much it weighs what is wrong. A want that is not heard weighs more than
// what can be kept away with a dummy afterwards.
const (
	missingWeight = 8
	joinedWeight  = 4
	loopWeight    = 4
	strayWeight   = 1
)

// New is a trial that begins with a patch.
func New(t *problem.Problem, d graph.Patch) *Trial {
	r := &Trial{
		Graph: t.Graph, problem: t, State: t.State(d), Plugs: make([]plugged, len(t.Jacks)), Leads: slices.Repeat([]int{graph.None}, len(t.Ports)),
		feedback: t.Feedback(t.Session.Inside, t.Session.Loops),
	}
	for _, p := range d.Parts() {
		r.note(p, true)
	}
	made := r.State.InUse()
	r.judge(nil, made)
	r.loops = r.State.GoesRound(r.feedback, made)
	return r
}

// Wrong weighs what is wrong with the patch; 0 where it gives the session.
func (r *Trial) Wrong() int {
	if r.loops {
		return r.faults + loopWeight
	}
	return r.faults
}

// Change takes parts out and puts others in, as one change. What is taken out
// must be in, and what is put in must have a free place by then.
func (r *Trial) Change(out, in []graph.Part) {
	r.out.Reset()
	r.in.Reset()
	for _, p := range out {
		r.note(p, false)
		r.out.Add(r.problem.Graph, p)
	}
	for _, p := range in {
		r.note(p, true)
		r.in.Add(r.problem.Graph, p)
	}
	gone, stale := r.State.Change(r.out, r.in)
	r.judge(gone, stale)
	if r.loops {
		stale = r.State.InUse()
	}
	r.loops = r.State.GoesRound(r.feedback, stale)
}

// GoesRound says whether a signal comes back to where it was.
func (r *Trial) GoesRound() bool { return r.loops }

// Hold changes the trial to a patch, by what differs.
func (r *Trial) Hold(d graph.Patch) { r.Change(r.Differing(d)) }

// Differing are the parts that the trial holds and a patch does not, and those that the patch
// holds and the trial does not.
func (r *Trial) Differing(d graph.Patch) (out, in []graph.Part) {
	out = slices.DeleteFunc(r.Patch().Parts(), d.Holds)
	in = slices.DeleteFunc(d.Parts(), r.Holds)
	return out, in
}

// judge weighs what is wrong on nets that are gone, or that have changed.
func (r *Trial) judge(gone, stale []int) {
	for len(r.FaultsOf) < r.State.Nets() {
		r.FaultsOf = append(r.FaultsOf, 0)
	}
	for _, at := range gone {
		r.faults -= r.FaultsOf[at]
		r.FaultsOf[at] = 0
	}
	for _, at := range stale {
		r.faults -= r.FaultsOf[at]
		r.FaultsOf[at] = r.judgeNet(at)
		r.faults += r.FaultsOf[at]
	}
}

// note keeps account of what each jack and port holds.
func (r *Trial) note(p graph.Part, in bool) {
	set := func(j int, is plugged) {
		r.Plugs[j] = plugged{}
		if in {
			r.Plugs[j] = is
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
		r.Leads[p.A] = graph.None
		if in {
			r.Leads[p.A] = p.B
		}
	case graph.Cross, graph.HeldNormal:
	}
}

// Cords are those that the trial holds now, in order.
func (r *Trial) Cords() [][2]int {
	var cords [][2]int
	for j, p := range r.Plugs {
		if p.Kind == graph.Cord && (p.Other == graph.None || p.Other > j) {
			cords = append(cords, [2]int{j, p.Other})
		}
	}
	return cords
}

// Patch is what the trial holds now.
func (r *Trial) Patch() graph.Patch {
	d := graph.Patch{Cords: r.Cords(), Crosses: make([]int, 0, len(r.Outputs))}
	for j, p := range r.Plugs {
		switch {
		case p.Kind == graph.Lead:
			d.Leads = append(d.Leads, [2]int{p.Other, j})
		case p.Kind == graph.Dummy:
			d.Dummies = append(d.Dummies, j)
		}
	}
	for o := range r.Outputs {
		d.Crosses = append(d.Crosses, r.State.Behind(o)...)
	}
	d.Sort()
	return d
}
