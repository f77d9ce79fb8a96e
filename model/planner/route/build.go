// Package route builds a plan the way a person would: want by want, each by the
// cheapest way through the patch as it is, and what is in the way is taken out and
// brought by another. It proves nothing and may fail where a way exists; it is quick
// in rooms that are too large for a proof. Rebuild makes such a plan better by pulling
// down one part after the other.
package route

import (
	"context"
	"math"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/tidy"
)

// builder makes a draft that gives the session the way a person would: it keeps
// what serves of the present patch, mends one fault after the other, and takes
// no step that leaves more wrong than before. Where a want finds no way left, it
// begins again with that want first (squeaky wheels, Joslin and Clements 1999).
// It proves nothing and may fail where a way exists; it is quick in rooms that
// are too large for a proof.
type builder struct {
	*graph.Graph
	*draft
	*tables
	cleaner  cleaner
	chains   *reswitching
	patience patience
	// forced bounds how often one may be taken away from another; forcedSoFar counts it
	// over all rounds.
	forced, forcedSoFar int
	// noWay says of a source and an input at how many changes of the draft there was no way.
	noWay map[[2]int]int
	// told is called now and then, for somebody who waits.
	told func()
	// hopeless is asked once, when nothing more is found without taking much from one want
	// for another, whether there is no plan at all; givesUp is its answer.
	hopeless func(draft graph.Patch) bool
	givesUp  bool
	// given are parts of the draft at which rounds begin that may be taken out as if they were put in.
	given []graph.Part
	// nearest is the draft of all rounds with the least wrong.
	nearest    graph.Patch
	leastWrong int
}

// rounds bounds how often the builder begins again, steps the faults that it
// mends one after the other in one round, and forces, with four for each want, how
// often in one round it takes something away from one want for another. The work of
// a round is bounded in hops that are looked at, with so many more for each want
// that is not heard; two million take some tenths of a second.
const (
	rounds     = 4
	steps      = 500
	forces     = 20
	roundWork  = 3e6
	workByWant = 50e3
)

// patience is how often the builder begins again, and how often in one round it takes something
// away from one want for another, with so many more for each want. Where astray is true, it begins
// again with the wants of sources that came where they must not, too.
type patience struct {
	rounds, forces, byWant int
	astray                 bool
}

var (
	// easily is what builds most plans in rooms like those at home. What is hard there is found sooner
	// by another start.
	easily = patience{1, forcesBeforeAsking, 0, false}
	// once and following are for large rooms, where prices help with the rest, and for a draft by these.
	once, following = patience{1, forces, 4, false}, patience{3, forces, 4, false}
	patiently       = patience{rounds, forces, 4, false}
	// alsoAstray finds some drafts in large rooms that nothing else does, and misses others.
	alsoAstray = patience{rounds, forces, 4, true}
)

// atLength begins as patiently does, and goes on for as many rounds as the work allows, in looks at a
// literal.
func atLength(work int64) patience {
	p := patiently
	p.rounds = int(work / workOfRound)
	return p
}

// workOfRound is what a round of a large room counts as, where many are made.
const workOfRound = 30e6

// Others are asked while a plan is built. Each may be nil.
type Others struct {
	// Hopeless is asked once, when it becomes hard, whether there is no plan at all. Draft is how far the
	// plan is built.
	Hopeless func(draft graph.Patch) bool
	// Repair is asked once, when all rounds left something wrong, for a plan of the draft with the
	// least wrong.
	Repair func(lacking graph.Patch) *objective.Candidate
}

// Build looks for a draft that gives the session: from the present patch as it
// is, and from what of it is worth anything; with the wants in the order of what
// they cost, and in a small room in the session's as well. It is nil if none is
// found. It ends with one that handles no more plugs than the least that is
// known. Nearest is the draft with the least wrong where none is without.
func Build(ctx context.Context, t *problem.Problem, least int, others Others) (best *objective.Candidate, nearest graph.Patch) {
	if len(t.Jacks) < problem.Home {
		if best, nearest = build(ctx, t, least, nil, easily); best != nil {
			return best, nearest
		}
	}
	gaveUp := false
	hopeless := func(draft graph.Patch) bool {
		gaveUp = others.Hopeless != nil && others.Hopeless(draft)
		return gaveUp
	}
	best, nearest = build(ctx, t, least, hopeless, patiently)
	if best != nil || len(t.Jacks) <= problem.Small || gaveUp || ctx.Err() != nil {
		return best, nearest
	}
	if others.Repair != nil {
		best = others.Repair(nearest)
	}
	if best == nil {
		best, _ = build(ctx, t, least, nil, alsoAstray)
	}
	if long := atLength(t.Options.Work()); best == nil && long.rounds > rounds {
		best, _ = build(ctx, t, least, nil, long)
	}
	return best, nearest
}

// Begin is what Build tries first: one round from the present patch, and one from what of it is worth anything.
// Nearest is the draft with the least wrong where neither finds a plan.
func Begin(ctx context.Context, t *problem.Problem, least int) (best *objective.Candidate, nearest graph.Patch) {
	return build(ctx, t, least, nil, once)
}

func build(ctx context.Context, t *problem.Problem, least int, hopeless func(graph.Patch) bool, p patience) (best *objective.Candidate, nearest graph.Patch) {
	wrong := math.MaxInt
	for _, clear := range []bool{false, true} {
		b := newBuilder(ctx, t)
		b.hopeless, b.patience = hopeless, p
		b.told = func() { objective.Tell(t, 0, least, best) }
		if idle := b.findIdle(clear); clear && (!idle || t.Options.LeaveCords) {
			break
		}
		if best != nil && (best.Reaches(least) || len(t.Jacks) > large) {
			break // what can be better is found by rebuilding
		}
		start := b.trial.Patch()
		orders := [][]int{b.cheapestFirst()}
		if len(t.Jacks) <= problem.Small && p != easily {
			orders = append(orders, b.asWritten())
		}
		for _, order := range orders {
			b.reset(start)
			f := b.run(start, order)
			if b.givesUp {
				return nil, nearest
			}
			if b.leastWrong < wrong {
				nearest, wrong = b.nearest, b.leastWrong
			}
			if hopeless = b.hopeless; f != nil && (best == nil || f.Score.Less(best.Score)) {
				best = f
			}
			if best.Reaches(least) {
				break
			}
		}
	}
	return best, nearest
}

// Mend looks for a draft that gives the session, from a patch that gives most of it. It is nil
// if none is found. Hopeless is asked as Build asks it.
func Mend(ctx context.Context, t *problem.Problem, most graph.Patch, hopeless func(draft graph.Patch) bool) *objective.Candidate {
	b := newBuilder(ctx, t)
	b.hopeless, b.told = hopeless, func() {}
	b.reset(most)
	return b.run(most, b.asWritten())
}

// Follow looks for a plan by a draft that gives much of what is asked: all that it puts in may be taken out
// again. Where none is found, nearest is the draft with the least wrong, and lacking are the sources with
// which something is wrong in it. Told is called now and then, for somebody who waits.
func Follow(ctx context.Context, t *problem.Problem, d graph.Patch, told func()) (best *objective.Candidate, nearest graph.Patch, lacking []int) {
	b := newBuilder(ctx, t)
	b.told, b.patience = told, following
	b.findIdle(false)
	b.given = graph.Without(d.Parts(), t.Present.Parts())
	b.begin(d)
	if best = b.run(d, b.asWritten()); best != nil {
		return best, graph.Patch{}, nil
	}
	b.reset(b.nearest)
	for _, w := range b.unmet(b.asWritten(), nil) {
		if _, s := b.ends(w); !slices.Contains(lacking, s) {
			lacking = append(lacking, s)
		}
	}
	return nil, b.nearest, lacking
}

// begin begins a round.
func (b *builder) begin(start graph.Patch) {
	b.reset(start)
	for _, p := range b.given {
		b.placed[p] = true
	}
}

// run builds from a draft, with the wants in some order first.
func (b *builder) run(start graph.Patch, order []int) *objective.Candidate {
	for range b.patience.rounds {
		b.forced, b.work, b.limit = b.patience.forces+b.patience.byWant*len(order), 0, roundWork+workByWant*len(b.unmet(order, nil))
		left := b.mend(order)
		switch {
		case b.givesUp:
			return nil
		case len(left) == 0:
			return b.finish(nil)
		case b.trial.Wrong() < b.leastWrong:
			b.nearest, b.leastWrong = b.trial.Patch(), b.trial.Wrong()
		}
		again := raised(order, left)
		if slices.Equal(again, order) || b.ctx.Err() != nil {
			return nil
		}
		order = again
		b.begin(start)
	}
	return nil
}

func newBuilder(ctx context.Context, p *problem.Problem) *builder {
	d := newDraft(ctx, p)
	return &builder{
		Graph: p.Graph, draft: d, tables: newTables(p.Graph), cleaner: cleaner{p.Graph, d},
		chains: newReswitching(p.Graph, d), patience: patiently, noWay: map[[2]int]int{}, leastWrong: math.MaxInt,
	}
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

// raised puts some wants before all others.
func raised(order, first []int) []int {
	rest := slices.DeleteFunc(slices.Clone(order), func(w int) bool { return slices.Contains(first, w) })
	return append(slices.Clone(first), rest...)
}

// finish completes what was built, where package heard confirms it and it is worth more
// than a plan; nil for any.
func (b *builder) finish(than *objective.Candidate) *objective.Candidate {
	if d := b.trial.Patch(); !b.problem.Sound(d) || !b.problem.KeepsWays(d) {
		return nil
	}
	f, ok := b.complete(than)
	if !ok || !b.problem.Gives(f.Patch) {
		return nil
	}
	return f
}

// complete completes what was built: all of it, or what differs from a plan.
func (b *builder) complete(than *objective.Candidate) (f *objective.Candidate, ok bool) {
	if than == nil {
		return tidy.CompleteIn(b.problem, b.trial)
	}
	return tidy.CompleteFrom(b.problem, b.trial, than.Patch, &than.Score)
}

// large is how many jacks a room has in which building it twice takes long.
const large = 1000
