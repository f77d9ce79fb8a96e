package order_test

import (
	"math/rand/v2"
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// several do the steps of a plan at once: each matrix its own, one plug or
// crosspoint at a time, and as many persons as there are do what waits for
// nothing any more. Between the two plugs of a cord anybody else may have a turn.
type several struct {
	r       *rand.Rand
	replay  *replay
	left    []plan.Step
	done    map[string]bool
	workers []*worker
	// turns counts the turns that somebody had while another's cord hung by one
	// end.
	turns int
}

// worker is a person or a matrix with a step in hand, and what is left of it.
type worker struct {
	by   string
	id   string
	left []plan.Step
}

// atOnce has persons and matrices do all steps, in an order of its own for each
// seed.
func (w way) atOnce(persons int, seed uint64, r *replay) *several {
	s := &several{
		r: rand.New(rand.NewPCG(seed, 0x6166746572)), replay: r,
		left: slices.Clone(w.plan.Steps), done: map[string]bool{},
	}
	for range persons {
		s.workers = append(s.workers, &worker{by: plan.Person})
	}
	for _, m := range w.room.Studio().Matrices {
		s.workers = append(s.workers, &worker{by: m.Name})
	}
	for len(s.done) < len(w.plan.Steps) && s.turn() {
	}
	return s
}

// turn lets one of those who can do something do one thing.
func (s *several) turn() bool {
	var ready []func()
	for _, w := range s.workers {
		if len(w.left) > 0 {
			ready = append(ready, func() { s.goOn(w) })
			continue
		}
		for i, step := range s.left {
			if step.By == w.by && !slices.ContainsFunc(step.After, func(id string) bool { return !s.done[id] }) {
				ready = append(ready, func() { s.begin(w, i) })
			}
		}
	}
	if len(ready) == 0 {
		s.replay.fail(s.left[0], "nobody can go on")
		return false
	}
	ready[s.r.IntN(len(ready))]()
	return true
}

func (s *several) begin(w *worker, i int) {
	w.id, w.left = s.left[i].ID, parts(s.left[i])
	s.left = slices.Delete(s.left, i, i+1)
	s.goOn(w)
}

func (s *several) goOn(w *worker) {
	for _, other := range s.workers {
		if other != w && len(other.left) > 0 && other.by == plan.Person {
			s.turns++
		}
	}
	s.replay.do(w.left[0])
	if w.left = w.left[1:]; len(w.left) == 0 {
		s.done[w.id] = true
	}
}

// parts is a step in its plugs and crosspoints.
func parts(s plan.Step) []plan.Step {
	part := func(do plan.Do, ends, to []name.Point) plan.Step {
		return plan.Step{ID: s.ID, By: s.By, Do: do, Ends: ends, To: to, Length: s.Length, Because: s.Because}
	}
	switch {
	case s.Do == plan.Switch:
		return switched(s)
	case len(s.Ends) < 2:
	case s.Do == plan.Plug:
		return []plan.Step{part(plan.Plug, s.Ends[:1], nil), part(plan.MoveEnd, s.Ends[:1], s.Ends)}
	case s.Do == plan.Pull:
		return []plan.Step{part(plan.MoveEnd, []name.Point{s.Ends[1], s.Ends[0]}, s.Ends[1:]), part(plan.Pull, s.Ends[1:], nil)}
	case s.Do == plan.MoveEnd && len(s.To) == 2:
		return []plan.Step{part(plan.MoveEnd, s.Ends, s.Ends[:1]), part(plan.MoveEnd, s.Ends[:1], s.To)}
	}
	return []plan.Step{s}
}

// switched opens what is to be opened, then closes what is to be closed.
func switched(s plan.Step) []plan.Step {
	var opens, closes []plan.Step
	add := func(all *[]plan.Step, c plan.Change) {
		*all = append(*all, plan.Step{ID: s.ID, By: s.By, Do: s.Do, Crosspoints: []plan.Change{c}, Because: s.Because})
	}
	for _, c := range s.Crosspoints {
		if !c.Was.IsZero() {
			add(&opens, plan.Change{Output: c.Output, Was: c.Was})
		}
		closed := func(d plan.Step) bool {
			return d.Crosspoints[0].Output == c.Output && d.Crosspoints[0].Input == c.Input
		}
		if !c.Input.IsZero() && !slices.ContainsFunc(closes, closed) {
			add(&closes, plan.Change{Output: c.Output, Input: c.Input})
		}
	}
	return append(opens, closes...)
}
