package route

import (
	"context"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/tidy"
	"bayhand/model/planner/trial"
)

// Rebuild makes a plan better, as long as it can and the plan handles more plugs
// than the least that is known: it pulls down all new cords of one source, and then one
// thing after the other that the plan puts in, and looks for another way for what that
// brought (large neighbourhood search, Shaw 1998); and it looks for a use for each cord
// that the plan pulls.
func Rebuild(ctx context.Context, t *problem.Problem, best *objective.Candidate, least int) *objective.Candidate {
	b := newBuilder(ctx, t)
	r := &rebuilder{Graph: t.Graph, problem: t, trial: b.trial, builder: b, best: best}
	r.builder.limit = rebuildWork
	r.builder.told = func() { objective.Tell(t, 0, least, r.best) }
	done := func() bool { return r.best.Reaches(least) || r.builder.spent() }
	for s := range t.Sources {
		if !done() {
			r.withoutCordsOf(s)
		}
	}
	r.builder.work = 0
	for better := true; better && !done(); {
		better = false
		for _, p := range graph.Without(r.best.Patch.Parts(), t.Present.Parts()) {
			if p.Kind != graph.Cross && !done() && r.without(p) {
				better = true
			}
		}
		for _, c := range t.Present.Cords {
			if c[1] != graph.None && !done() && r.reuse(graph.Part{Kind: graph.Cord, A: c[0], B: c[1]}) {
				better = true
			}
		}
	}
	return r.best
}

// rebuildWork bounds the hops that are looked at while a plan is made better by sources, and
// again by single parts.
const rebuildWork = 6e6

type rebuilder struct {
	*graph.Graph
	problem *problem.Problem
	trial   *trial.Trial
	builder *builder
	best    *objective.Candidate
	// fresh are the parts that the best plan puts in, and cords of these the cords by the only source that they
	// have; both are of the plan that is known.
	known *objective.Candidate
	fresh []graph.Part
	cords map[int][]graph.Part
}

// know finds what there is to know of the best plan.
func (r *rebuilder) know() {
	if r.known == r.best {
		return
	}
	r.known, r.fresh = r.best, graph.Without(r.best.Patch.Parts(), r.problem.Present.Parts())
	r.trial.Hold(r.best.Patch)
	r.cords = map[int][]graph.Part{}
	for _, p := range r.fresh {
		if s, ok := r.onlySource(p); ok {
			r.cords[s] = append(r.cords[s], p)
		}
	}
}

// onlySource is the source that a cord has alone.
func (r *rebuilder) onlySource(p graph.Part) (source int, ok bool) {
	if p.Kind != graph.Cord {
		return graph.None, false
	}
	heard := r.trial.State.HeardOn(r.trial.State.NetOf(r.Jacks[p.A].Node))
	if len(heard) != 1 {
		return graph.None, false
	}
	return heard[0], true
}

// begin goes back to the best plan.
func (r *rebuilder) begin() {
	r.know()
	r.builder.reset(r.best.Patch)
	for _, p := range r.fresh {
		r.builder.placed[p] = true
	}
	r.builder.ousted.clear()
	r.builder.forced = 4
}

// better mends what is wrong, and keeps the draft if it is better by then.
func (r *rebuilder) better() bool {
	if len(r.builder.mend(r.builder.asWritten())) > 0 {
		return false
	}
	f := r.builder.finish(r.best)
	if f == nil {
		return false
	}
	r.best = f
	return true
}

// without looks for a plan that does without one part of the best.
func (r *rebuilder) without(p graph.Part) bool {
	r.begin()
	if r.trial.PartAt(p.Jacks()[0]) != p {
		return false // a better plan has it no more
	}
	r.builder.ousted.avoid(p, 8)
	r.trial.Change([]graph.Part{p}, nil)
	return r.better()
}

// withoutCordsOf looks for a plan in which a source has none of the new cords that it has in the best:
// each of its wants goes by the cheapest way first, and what is in the way goes by another.
func (r *rebuilder) withoutCordsOf(source int) bool {
	r.know()
	out := r.cords[source]
	if len(out) == 0 {
		return false
	}
	r.begin()
	r.trial.Change(out, nil)
	for _, w := range r.builder.asWritten() {
		if in, s := r.builder.ends(w); s == source && !r.builder.hearsAt(in, s) {
			r.builder.force(s, in)
		}
	}
	return r.countNewCords(source) < len(out) && r.better()
}

// countNewCords is how many cords the draft has with a source alone that the present patch does not have.
func (r *rebuilder) countNewCords(source int) int {
	count := 0
	for _, c := range r.trial.Cords() {
		p := graph.Part{Kind: graph.Cord, A: c[0], B: c[1]}
		if s, ok := r.onlySource(p); ok && s == source && !r.problem.Present.Holds(p) {
			count++
		}
	}
	return count
}

// reuse looks for a plan that has some use for a cord that the best plan pulls:
// where it is, or moved by one end in place of a dummy.
func (r *rebuilder) reuse(c graph.Part) bool {
	if slices.Contains(r.best.Patch.Cords, [2]int{c.A, c.B}) {
		return false
	}
	r.begin()
	for _, j := range r.best.Patch.Dummies {
		for _, kept := range []int{c.A, c.B} {
			if r.breakWith(c, kept, j) {
				return true
			}
		}
	}
	return r.feed(c)
}

// breakWith moves one end of a cord to where a dummy is.
func (r *rebuilder) breakWith(c graph.Part, kept, dummy int) bool {
	if r.trial.Plugs[kept].Kind != 0 || r.trial.Plugs[dummy].Kind != graph.Dummy || !r.problem.Stock.OldReaches(r.builder.oldAt[kept], kept, dummy) {
		return false
	}
	ends := graph.Ordered([2]int{kept, dummy})
	moved := graph.Part{Kind: graph.Cord, A: ends[0], B: ends[1]}
	r.trial.Change([]graph.Part{{Kind: graph.Dummy, A: dummy}}, []graph.Part{moved})
	if r.trial.Wrong() == 0 && !tidy.JustBreaks(r.problem, r.trial, moved) && r.better() {
		return true
	}
	r.begin()
	return false
}

// feed leaves a cord where it is, and lets what listens to the same signal
// elsewhere on a matrix listen to where the cord brings it.
func (r *rebuilder) feed(c graph.Part) bool {
	if r.trial.Plugs[c.A].Kind != 0 || r.trial.Plugs[c.B].Kind != 0 {
		return false
	}
	r.trial.Change(nil, []graph.Part{c})
	heard := r.trial.State.HeardOn(r.trial.State.NetOf(r.Jacks[c.A].Node))
	if len(heard) != 1 {
		return false
	}
	var out, in []graph.Part
	for _, j := range []int{c.A, c.B} {
		for _, x := range r.Nodes[r.Jacks[j].Node].Ins {
			if y, ok := r.alike(x, heard); ok && !slices.Contains(out, graph.Part{Kind: graph.Cross, A: y}) {
				out, in = append(out, graph.Part{Kind: graph.Cross, A: y}), append(in, graph.Part{Kind: graph.Cross, A: x})
			}
		}
	}
	r.trial.Change(out, in)
	return r.trial.Wrong() == 0 && r.better()
}

// alike is the crosspoint by which the output of one hears the same elsewhere.
func (r *rebuilder) alike(x int, heard []int) (int, bool) {
	c := r.Crosses[x]
	for _, y := range r.trial.State.Behind(c.Output) {
		from := r.Crosses[y].From
		if from != c.From && len(r.Ganged[x])+len(r.Ganged[y]) == 0 && slices.Equal(r.trial.State.HeardOn(r.trial.State.NetOf(from)), heard) {
			return y, true
		}
	}
	return graph.None, false
}
