package exact

import (
	"context"
	"maps"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/trial"
)

// Improve makes a plan better that handles more plugs than the least that is known: a
// window around each thing that changes is searched exactly while all else stays (large
// neighbourhood search, Shaw 1998), as long as that helps and the work, in looks at a
// literal, lasts. With what plans at the bound may have alone, beside what the plan has, windows
// are larger (kernel search, Angelelli, Mansini and Speranza 2010).
func Improve(ctx context.Context, p *problem.Problem, best *objective.Candidate, in *problem.Narrowed, least int, work int64) *objective.Candidate {
	m := improver{ctx: ctx, problem: p, in: in, best: best, least: least, work: work, looked: map[graph.Part]bool{}}
	sizes := windowSizes
	if in != nil {
		sizes = narrowedSizes
	}
	for _, most := range sizes {
		clear(m.looked)
		for m.pass(most) && !m.done() {
		}
	}
	return m.best
}

// windowSizes are how many jacks are free in a window, and narrowedSizes in one of what plans at
// the bound may have; workOfWindow is how much work is spent on one, workInLarge in rooms of more
// than LargeRoom jacks, which have many windows.
var windowSizes, narrowedSizes = []int{24, 60}, []int{120}

const (
	workOfWindow, workInLarge = 5e6, 2e6
	// answersOfWindow is how many answers of a window are refused one by one.
	answersOfWindow = 3
	// LargeRoom is up to how many jacks a room has few windows.
	LargeRoom = 1500
)

// improver holds the best plan, and the parts around which a window was searched since
// anything changed there; in large rooms, also those within one that was searched to its end.
type improver struct {
	ctx     context.Context
	problem *problem.Problem
	in      *problem.Narrowed // nil for all
	best    *objective.Candidate
	least   int
	work    int64
	looked  map[graph.Part]bool
	// trial is for the answers of one window after the other; nil before the first.
	trial *trial.Trial
}

func (m *improver) isLarge() bool { return len(m.problem.Jacks) > LargeRoom }

func (m *improver) done() bool {
	return m.best.Reaches(m.least) || m.work <= 0 || m.ctx.Err() != nil
}

// pass searches a window around each part that goes in or out, and says whether any was
// better.
func (m *improver) pass(most int) bool {
	any, work := false, int64(workOfWindow)
	if m.isLarge() {
		work = workInLarge
	}
	changes := m.changes()
	for _, p := range changes {
		if p.Kind == graph.Cross || m.looked[p] || m.done() {
			continue
		}
		m.looked[p] = true
		w := around(m.problem, m.best.Patch, p.Jacks(), most)
		better, decided := m.search(w, work)
		if decided && m.isLarge() {
			m.lookedWithin(w, changes)
		}
		if better {
			any = true
			maps.DeleteFunc(m.looked, func(q graph.Part, _ bool) bool { return slices.ContainsFunc(q.Jacks(), w.frees) })
			objective.Tell(m.problem, 0, m.least, m.best)
		}
	}
	return any
}

// changes are the parts that go in or out.
func (m *improver) changes() []graph.Part {
	now, present := m.best.Patch.Parts(), m.problem.Present.Parts()
	return append(graph.Without(now, present), graph.Without(present, now)...)
}

// lookedWithin notes the changes that a window could undo.
func (m *improver) lookedWithin(w *window, changes []graph.Part) {
	for _, p := range changes {
		if !slices.ContainsFunc(p.Jacks(), func(j int) bool { return !w.frees(j) }) {
			m.looked[p] = true
		}
	}
}

// search searches one window, and says whether anything better was found, and whether that came
// to its end.
func (m *improver) search(w *window, work int64) (better, decided bool) {
	before := m.best
	s := &search{Graph: m.problem.Graph, problem: m.problem, best: m.best, work: work, patience: answersOfWindow, quiet: true}
	s.enc = newEncoding(m.problem, scope{window: w, narrowed: m.in.With(before.Patch)}, before.Patch)
	s.enc.Stop = func() bool { return m.ctx.Err() != nil }
	s.answers = after(m.trial, m.problem, before)
	m.trial = s.answers.trial
	s.preparePlugs(handled)
	decided = s.stage(handled, s.enc.Work+work) || s.exhausted
	m.best = s.best
	m.work -= s.enc.Work + overhead(m.problem)
	return m.best != before, decided
}

// overhead is about the work of making the clauses of a window.
func overhead(p *problem.Problem) int64 { return int64(len(p.Crosses) + 100*len(p.Nodes)) }
