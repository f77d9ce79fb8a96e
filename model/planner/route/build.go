// Package route builds a plan the way a person would: want by want, each by the
// cheapest way through the patch as it is, and what is in the way is taken out and
// brought by another. It proves nothing and may fail where a way exists; it is quick
// in rooms that are too large for a proof. Rebuild makes such a plan better by pulling
// down one part after the other.
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

// builder makes a draft that gives the session the way a person would: it keeps
// what serves of the present patch, mends one fault after the other, and takes
// no step that leaves more wrong than before. Where a want finds no way left, it
// begins again with that want first (squeaky wheels, Joslin and Clements 1999).
// It proves nothing and may fail where a way exists; it is quick in rooms that
// are too large for a proof.
type builder struct {
	*graph.Graph
	problem *problem.Problem
	trial   *trial.Trial
	// placed are the parts that the builder put in; all others may be taken out.
	placed map[graph.Part]bool
	// idle are the cords, leads and crosspoints of the present patch that are worth
	// nothing to the session where they are.
	idle map[graph.Part]bool
	// near are the jacks that a cord could go to from a jack, as far as was asked.
	near [][]int
	// oldAt is the cord of the present patch at each jack; -1 for none.
	oldAt []int
	// ousted counts how often a part was in the way of a want that found no other:
	// by a dummy's name a jack, by a nameless crosspoint's an output.
	ousted map[graph.Part]int
	// forced bounds how often one may be taken away from another.
	forced    int
	wasClosed []bool // by crosspoint: it is closed in the present patch
	pluggable []int8 // see router
	best      []hop
	ctx       context.Context
	// work counts the hops that were looked at, and limit bounds them.
	work, limit int
	// told is called now and then, for somebody who waits.
	told func()
}

// rounds bounds how often the builder begins again, steps the faults that it
// mends one after the other in one round, and forces, with four for each want, how
// often in one round it takes something away from one want for another. The work of
// a round is bounded in hops that are looked at, with so many more for each want
// that is not heard; ten million take some tenths of a second.
const (
	rounds     = 4
	steps      = 500
	forces     = 20
	roundWork  = 10e6
	workByWant = 150e3
)

// Build looks for a draft that gives the session: from the present patch as it
// is, and from what of it is worth anything; with the wants in the order of what
// they cost, and in a small room in the session's as well. It is nil if none is
// found. It ends with one that handles no more plugs than the least that is
// known.
func Build(ctx context.Context, t *problem.Problem, least int) *objective.Candidate {
	var best *objective.Candidate
	for _, clear := range []bool{false, true} {
		b := newBuilder(ctx, t)
		b.told = func() { objective.Tell(t, 0, least, best) }
		if idle := b.look(clear); clear && (!idle || t.Options.LeaveCords) {
			break
		}
		if best != nil && (best.Reaches(least) || len(t.Jacks) > large) {
			break // what can be better is found by rebuilding
		}
		start := b.trial.Patch()
		orders := [][]int{b.cheapestFirst()}
		if len(t.Jacks) <= problem.Small {
			orders = append(orders, b.asWritten())
		}
		for _, order := range orders {
			b.reset(start)
			if f := b.run(start, order); f != nil && (best == nil || f.Score.Less(best.Score)) {
				best = f
			}
			if best.Reaches(least) {
				break
			}
		}
	}
	return best
}

// run builds from a draft, with the wants in some order first.
func (b *builder) run(start graph.Patch, order []int) *objective.Candidate {
	for range rounds {
		b.forced, b.work, b.limit = forces+4*len(order), 0, roundWork+workByWant*len(b.unmet(order))
		left := b.mend(order)
		if len(left) == 0 {
			return b.finish()
		}
		again := raised(order, left)
		if slices.Equal(again, order) || b.ctx.Err() != nil {
			return nil
		}
		order = again
		b.reset(start)
	}
	return nil
}

func newBuilder(ctx context.Context, t *problem.Problem) *builder {
	b := &builder{
		Graph: t.Graph, problem: t, ctx: ctx, trial: trial.New(t, t.Present), placed: map[graph.Part]bool{}, idle: map[graph.Part]bool{}, near: make([][]int, len(t.Jacks)),
		oldAt: make([]int, len(t.Jacks)), ousted: map[graph.Part]int{},
		wasClosed: make([]bool, len(t.Crosses)), pluggable: make([]int8, len(t.Nodes)), best: make([]hop, len(t.Nodes)),
	}
	for _, x := range t.Present.Crosses {
		b.wasClosed[x] = true
	}
	for j := range b.oldAt {
		b.oldAt[j] = graph.None
	}
	for i, c := range t.Present.Cords {
		for _, j := range c {
			if j != graph.None {
				b.oldAt[j] = i
			}
		}
	}
	return b
}

// asWritten are the wants in the order of the session.
func (b *builder) asWritten() []int {
	order := make([]int, len(b.problem.Session.Wants))
	for w := range order {
		order[w] = w
	}
	return order
}

// cheapestFirst are the wants in the order of what the cheapest way of each costs
// at the beginning: what the present patch has serves the first, and their ways
// serve the others of the same source (Takahashi and Matsuyama 1980).
func (b *builder) cheapestFirst() []int {
	order, costs := b.asWritten(), make([]int, len(b.problem.Session.Wants))
	for w := range order {
		if in, source := b.ends(w); !b.hearsAt(in, source) {
			b.cheapest(source, b.Node[in], nil, false)
			costs[w] = b.best[b.Node[in]].cost
		}
	}
	slices.SortStableFunc(order, func(v, w int) int { return costs[v] - costs[w] })
	return order
}

// look finds what of the present patch is worth nothing to the session as it is,
// and takes it out where that is asked for. It says whether there is any.
func (b *builder) look(clear bool) bool {
	any := false
	for _, p := range b.problem.Parts(b.problem.Present) {
		out := b.trial.WithGang(p)
		if out == nil {
			continue
		}
		before := b.trial.Wrong()
		b.trial.Change(out, nil)
		if b.trial.Wrong() > before {
			b.trial.Change(nil, out)
			continue
		}
		any = true
		if clear {
			continue
		}
		b.trial.Change(nil, out)
		if p.Kind == graph.Cross || !b.problem.Options.LeaveCords {
			b.idle[p] = true
		}
	}
	return any
}

// reset goes back to where the rounds begin.
func (b *builder) reset(start graph.Patch) {
	was, is := b.trial.Patch().Parts(), start.Parts()
	b.trial.Change(graph.Without(was, is), graph.Without(is, was))
	clear(b.placed)
}

// raised puts some wants before all others.
func raised(order, first []int) []int {
	rest := slices.DeleteFunc(slices.Clone(order), func(w int) bool { return slices.Contains(first, w) })
	return append(slices.Clone(first), rest...)
}

// finish completes what was built, where package heard confirms it.
func (b *builder) finish() *objective.Candidate {
	d := b.trial.Patch()
	if !b.problem.Sound(d) || !b.problem.Gives(d) {
		return nil
	}
	f, ok := tidy.Complete(b.problem, d)
	if !ok {
		return nil
	}
	return f
}

// large is how many jacks a room has in which building it twice takes long.
const large = 1000
