package exact

import (
	"context"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/tidy"
)

// Repair makes a plan of a draft that lacks some of what is asked: a window around
// something that it lacks is searched for a patch that has it and lacks what weighs less,
// while all else stays. What could not be had weighs more each time (the breakout method,
// Morris 1993), so that something else is given up for it, which is looked for in its
// turn. The plan is nil where the work, in looks at a literal, is spent before.
func Repair(ctx context.Context, p *problem.Problem, draft graph.Patch, work int64) *objective.Candidate {
	r := &repairer{
		Graph: p.Graph, ctx: ctx, problem: p, work: work,
		weights: slices.Repeat([]int{1}, len(p.Session.Wants)+len(p.Session.Silent)),
		tries:   make([]int, len(p.Session.Wants)+len(p.Session.Silent)),
		failed:  map[[2]int]bool{},
	}
	d, ok := r.clean(draft)
	if !ok {
		return nil
	}
	r.draft = d
	for r.work > 0 && ctx.Err() == nil {
		lacking := r.lacking(r.draft)
		if len(lacking) == 0 {
			break
		}
		next := r.leastTried(lacking)
		if r.tries[next] == mostTries {
			break
		}
		r.search(next)
	}
	if len(r.lacking(r.draft)) > 0 || !p.Sound(r.draft) || !p.Gives(r.draft) {
		return nil
	}
	if f, ok := tidy.Complete(p, r.draft); ok {
		return f
	}
	return nil
}

// repairer holds a draft in which nothing is wrong but what it lacks.
type repairer struct {
	*graph.Graph
	ctx     context.Context
	problem *problem.Problem
	draft   graph.Patch
	work    int64
	// weights are of the wants, then of the silences; tries is how often each was looked
	// for.
	weights, tries []int
	// failed are the searches around a wish that found nothing in the draft as it is, by the
	// size of their window.
	failed map[[2]int]bool
}

// fewest and mostInWindow bound how many jacks are free in a window: more each time that
// something could not be had.
const (
	fewestInWindow = 24
	mostInWindow   = 120
	// multsInWindow is how many mults that nothing uses are free in a window: a tree to five
	// destinations branches four times at most, and few sources have more.
	multsInWindow = 4
	// mostTries is how often one thing is looked for.
	mostTries = 20
)

// search searches a window around what is lacking, for a patch that has it and lacks
// what weighs less. Where there is none, it weighs more. What could not be had in the same
// window of the same draft, whatever weighs how much, is not looked for again.
func (r *repairer) search(wish int) {
	size := min(mostInWindow, fewestInWindow*(1+r.tries[wish]))
	r.tries[wish]++
	if same := [2]int{wish, size}; !r.failed[same] {
		g := newGrowing(r, aroundNodes(r.problem, r.draft, r.nodesOf(wish), size, multsInWindow))
		before := r.weigh(r.lacking(r.draft))
		d, ok := g.grow(wish, func(lacking []int) bool { return r.weigh(lacking) < before })
		r.work -= g.enc.Work + overhead(r.problem)
		if ok && r.isClean(d) {
			r.draft = d
			clear(r.failed)
			return
		}
		r.failed[same] = len(g.had) == 0
	}
	r.weights[wish]++
}

// lacking are the wants that a draft does not give, by number; silences come after them.
func (r *repairer) lacking(d graph.Patch) []int {
	state := r.problem.State(d)
	var found []int
	for i, w := range r.problem.Session.Wants {
		at, s := r.Number[w.Destination], r.SourceOf[w.Source]
		if _, ok := slices.BinarySearch(state.HeardAt(at), s); !ok {
			found = append(found, i)
			continue
		}
		if len(w.Via)+len(w.Avoid) > 0 {
			if _, ok := r.problem.WayOf(state, w); !ok {
				found = append(found, i)
			}
		}
	}
	for i, p := range r.problem.Session.Silent {
		if at, ok := r.Number[p]; ok && len(state.HeardAt(at)) > 0 {
			found = append(found, len(r.problem.Session.Wants)+i)
		}
	}
	return found
}

func (r *repairer) weigh(wishes []int) int {
	total := 0
	for _, w := range wishes {
		total += r.weights[w]
	}
	return total
}

// heaviest is what weighs most; of those the last in the session.
func (r *repairer) heaviest(wishes []int) int {
	return slices.MaxFunc(wishes, func(a, b int) int { return r.weights[a] - r.weights[b] })
}

// leastTried is what was looked for least often.
func (r *repairer) leastTried(wishes []int) int {
	return slices.MinFunc(wishes, func(a, b int) int { return r.tries[a] - r.tries[b] })
}

// nodesOf are where a want begins and ends, or where there is to be silence.
func (r *repairer) nodesOf(wish int) []int {
	if wants := r.problem.Session.Wants; wish < len(wants) {
		return []int{r.Node[r.Number[wants[wish].Destination]], r.Node[r.Sources[r.SourceOf[wants[wish].Source]]]}
	}
	return []int{r.Node[r.Number[r.problem.Session.Silent[wish-len(r.problem.Session.Wants)]]]}
}
