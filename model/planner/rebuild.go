package planner

import (
	"context"
	"slices"
)

// rebuilt makes a plan better, as long as it can and the plan handles more plugs
// than the least that is known: it pulls down one thing after the other that the
// plan puts in, and looks for another way for what it brought (large
// neighbourhood search, Shaw 1998); and it looks for a use for each cord that the
// plan pulls.
func (t *task) rebuilt(ctx context.Context, best *found, least int) *found {
	r := &rebuilder{builder: t.newBuilder(ctx), best: best}
	r.limit = rebuildWork
	r.told = func() { t.tell(0, least, r.best) }
	done := func() bool { return r.best.reaches(least) || r.spent() }
	for better := true; better && !done(); {
		better = false
		for _, p := range without(r.best.draft.parts(), t.present.parts()) {
			if p.kind != crossPart && !done() && r.otherwise(p) {
				better = true
			}
		}
		for _, c := range t.present.cords {
			if c[1] != nowhere && !done() && r.reuse(part{cordPart, c[0], c[1]}) {
				better = true
			}
		}
	}
	return r.best
}

// rebuildWork bounds the hops that are looked at while a plan is made better.
const rebuildWork = 15e6

type rebuilder struct {
	*builder
	best *found
}

// begin goes back to the best plan.
func (r *rebuilder) begin() {
	r.reset(r.best.draft)
	for _, p := range without(r.best.draft.parts(), r.present.parts()) {
		r.placed[p] = true
	}
	clear(r.ousted)
	r.forced = 4
}

// better mends what is wrong, and keeps the draft if it is better by then.
func (r *rebuilder) better() bool {
	if len(r.mend(r.asWritten())) > 0 {
		return false
	}
	f := r.finish()
	if f == nil || !f.score.less(r.best.score) {
		return false
	}
	r.best = f
	return true
}

// otherwise looks for a plan that does without one part of the best.
func (r *rebuilder) otherwise(p part) bool {
	r.begin()
	if r.partAt(p.jacks()[0]) != p {
		return false // a better plan has it no more
	}
	r.ousted[p] = 8
	r.change([]part{p}, nil)
	return r.better()
}

// reuse looks for a plan that has some use for a cord that the best plan pulls:
// where it is, or moved by one end in place of a dummy.
func (r *rebuilder) reuse(c part) bool {
	r.begin()
	if slices.Contains(r.best.draft.cords, [2]int{c.a, c.b}) {
		return false
	}
	for _, j := range r.best.draft.dummies {
		for _, kept := range []int{c.a, c.b} {
			if r.breakWith(c, kept, j) {
				return true
			}
		}
	}
	return r.feed(c)
}

// breakWith moves one end of a cord to where a dummy is.
func (r *rebuilder) breakWith(c part, kept, dummy int) bool {
	if r.plugs[kept].kind != 0 || r.plugs[dummy].kind != dummyPart || !r.oldReaches(r.oldAt[kept], kept, dummy) {
		return false
	}
	r.begin()
	ends := ordered([2]int{kept, dummy})
	out, in := []part{{dummyPart, dummy, 0}}, []part{{cordPart, ends[0], ends[1]}}
	if r.change(out, in); r.wrong() == 0 && r.better() {
		return true
	}
	r.begin()
	return false
}

// feed leaves a cord where it is, and lets what listens to the same signal
// elsewhere on a matrix listen to where the cord brings it.
func (r *rebuilder) feed(c part) bool {
	r.begin()
	if r.plugs[c.a].kind != 0 || r.plugs[c.b].kind != 0 {
		return false
	}
	r.change(nil, []part{c})
	heard := r.nets[r.net[r.jacks[c.a].node]].heard
	if len(heard) != 1 {
		return false
	}
	var out, in []part
	for _, j := range []int{c.a, c.b} {
		for _, x := range r.nodes[r.jacks[j].node].ins {
			if y, ok := r.alike(x, heard); ok && !slices.Contains(out, part{crossPart, y, 0}) {
				out, in = append(out, part{crossPart, y, 0}), append(in, part{crossPart, x, 0})
			}
		}
	}
	r.change(out, in)
	return r.wrong() == 0 && r.better()
}

// alike is the crosspoint by which the output of one hears the same elsewhere.
func (r *rebuilder) alike(x int, heard []int) (int, bool) {
	c := r.crosses[x]
	for _, y := range r.behind[c.output] {
		from := r.crosses[y].from
		if from != c.from && len(r.fellows[x])+len(r.fellows[y]) == 0 && slices.Equal(r.nets[r.net[from]].heard, heard) {
			return y, true
		}
	}
	return nowhere, false
}
