package exact

import (
	"context"
	"encoding/binary"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
)

// Regroup makes a plan better that handles more plugs than the least that is known, by the ways of
// some sources at once: those of a source and of what stands in its way are searched exactly, from any
// jack to any other, with the cords that they may have near the bound, while the ways of all other
// sources stay. It begins with few sources at once, and goes on to more, as long as the work,
// in looks at a literal, lasts.
func Regroup(ctx context.Context, p *problem.Problem, best *objective.Candidate, near *problem.Near, least int, work int64) *objective.Candidate {
	r := regrouper{improver{ctx: ctx, problem: p, best: best, least: least, work: work}, near, make([]bool, len(p.Jacks)), map[string]bool{}}
	for _, part := range p.Present.Parts() {
		for _, j := range part.Jacks() {
			r.held[j] = true
		}
	}
	for size := fewSources; !r.done(); size *= 2 {
		for r.round(size) && !r.done() {
		}
		if size >= len(p.Wanted) {
			break
		}
	}
	return r.best
}

const (
	// fewSources is how many sources are searched at once to begin with.
	fewSources = 2
	// jacksOfGroup is about how many jacks are free for new cords.
	jacksOfGroup = 60
	// workOfGroup is how much work is spent on one group.
	workOfGroup = 2e6
)

// regrouper holds the best plan, and which windows were searched.
type regrouper struct {
	improver
	near     *problem.Near
	held     []bool // by jack, whether something is in it in the present patch
	searched map[string]bool
}

// round searches a group around each source, and says whether anything was better.
func (r *regrouper) round(size int) bool {
	any := false
	for _, s := range r.problem.Wanted {
		if r.done() {
			break
		}
		state := r.problem.State(r.best.Patch)
		w, in := r.windowOf(state, r.inTheWay(state, s, size))
		if key := contents(w); !r.searched[key] {
			r.searched[key] = true
			r.in = in
			if better, _ := r.search(w, workOfGroup); better {
				any = true
				objective.Tell(r.problem, 0, r.least, r.best)
			}
		}
	}
	return any
}

// inTheWay are a source and so many more that are where it could pass, or where those could pass that
// are in its way: first those that are at most such nodes.
func (r *regrouper) inTheWay(state *graph.State, source, size int) []int {
	group, nodes := []int{source}, make([]int, len(r.problem.Sources))
	for len(group) < size {
		for n, may := range r.near.Passes[group[len(group)-1]] {
			if may && len(r.problem.Always(n)) == 0 {
				for _, s := range state.HeardOn(state.NetOf(n)) {
					nodes[s]++
				}
			}
		}
		next := graph.None
		for _, s := range r.problem.Wanted {
			if nodes[s] > 0 && !slices.Contains(group, s) && (next == graph.None || nodes[s] > nodes[next]) {
				next = s
			}
		}
		if next == graph.None {
			break
		}
		group = append(group, next)
	}
	return group
}

// windowOf frees what some sources have, and what no source has: plugs, outputs by which they may
// come, and the jacks of their cheapest new cords. What else may be new is what may be beside all ways.
func (r *regrouper) windowOf(state *graph.State, group []int) (*window, *problem.Narrowed) {
	p, w := r.problem, newWindow(r.problem, r.best.Patch)
	inGroup := func(s int) bool { return slices.Contains(group, s) }
	theirs := func(n int) bool {
		heard := state.HeardOn(state.NetOf(n))
		return len(heard) == 0 || slices.ContainsFunc(heard, inGroup)
	}
	for j := range p.Jacks {
		if (r.held[j] || w.at[j].Kind != 0) && p.Usable(j) && theirs(p.Jacks[j].Node) {
			w.freeJack(j)
		}
	}
	for o := range p.Outputs {
		n := p.Outputs[o].Node
		if theirs(n) && slices.ContainsFunc(group, func(s int) bool { return r.near.MayPass(n, s) }) {
			w.freeOutput(o)
		}
	}
	in := &problem.Narrowed{Cords: map[[2]int][]int{}, Passes: r.near.Passes}
	for ends, sources := range r.near.Cords {
		if sources == nil {
			in.Cords[ends] = nil
		}
	}
	r.addCheapest(in, w, group, func(j int) bool { return theirs(p.Jacks[j].Node) })
	w.close()
	return w, in
}

// addCheapest adds the cheapest new cords of some sources, until so many jacks are free for them.
func (r *regrouper) addCheapest(in *problem.Narrowed, w *window, group []int, may func(j int) bool) {
	type cord struct {
		problem.PricedCord
		source int
	}
	var all []cord
	for _, s := range group {
		for _, c := range r.near.Priced[s] {
			if may(c.Ends[0]) && may(c.Ends[1]) {
				all = append(all, cord{c, s})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b cord) int { return a.Over - b.Over })
	free := 0
	for _, c := range all {
		if free >= jacksOfGroup {
			break
		}
		for _, j := range c.Ends {
			if !w.jacks[j] {
				w.freeJack(j)
				free++
			}
		}
		if sources, known := in.Cords[c.Ends]; !known || sources != nil {
			at, _ := slices.BinarySearch(sources, c.source)
			in.Cords[c.Ends] = slices.Insert(sources, at, c.source)
		}
	}
}

// contents is what a window frees, and what that holds.
func contents(w *window) string {
	var key []byte
	add := func(numbers ...int) {
		for _, i := range numbers {
			key = binary.AppendVarint(key, int64(i))
		}
	}
	for j, free := range w.jacks {
		if free {
			add(j, int(w.at[j].Kind), w.at[j].A, w.at[j].B)
		}
	}
	add(graph.None)
	for o, free := range w.outputs {
		if free {
			add(o)
			add(w.state.Behind(o)...)
		}
	}
	return string(key)
}
