package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/plan"
	"bayhand/model/planner/bound"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/route"
	"bayhand/model/planner/tidy"
)

// stages come one after the other. Each could be left out, and plans would be
// worse: a test leaves out one after the other.
var stages = []struct {
	name string
	run  func(*making)
}{
	{"bound", (*making).findBound},       // fewer plugs than this are in no plan
	{"route", (*making).route},           // a first plan, want by want
	{"repair", (*making).repair},         // a plan of what lacks little
	{"rebuild", (*making).rebuild},       // the same plan with parts of it built otherwise
	{"raise", (*making).raise},           // a higher bound, by prices on what the ways of sources share
	{"guide", guide},                     // another plan, by these prices
	{"narrow", (*making).narrow},         // the best plan, with what a plan at the bound may have
	{"improve", (*making).improve},       // the same plan with windows of it searched exactly
	{"exact", (*making).searchExactly},   // the best plan of all and the proof that it is, or that there is none
	{"straighten", (*making).straighten}, // the same plan with shorter cords
}

func (m *making) run() {
	m.stopped = true
	for _, s := range stages {
		if !slices.Contains(m.without, s.name) {
			s.run(m)
		}
	}
}

func (m *making) findBound() { m.least = bound.Of(m.problem) }

// route leaves large rooms at what is soon built: prices help with the rest (guide).
func (m *making) route() {
	if !startsByPrices(m) {
		build(m)
	} else if m.best, m.nearest = route.Begin(m.ctx, m.problem, m.least); m.best == nil {
		m.provedByCounting(shortCount)
	}
}

// build builds a plan want by want, as long as that may help.
func build(m *making) {
	m.best, m.nearest = route.Build(m.ctx, m.problem, m.least, route.Others{
		Hopeless: func(graph.Patch) bool { return m.ownsTooLittle() || m.provedByCounting(shortCount) },
		Repair:   m.repairSoon,
	})
}

// repairSoon looks for a plan of a draft where that is found with little work: most that lack
// one or two wants take less than half of it.
func (m *making) repairSoon(lacking graph.Patch) *objective.Candidate {
	if m.problem.Options.LeaveCords || slices.Contains(m.without, "repair") {
		return nil
	}
	return exact.Repair(m.ctx, m.problem, lacking, m.problem.Options.Work()/workToRepairSoon)
}

// workToRepairSoon says what part of the work that is.
const workToRepairSoon = 40

// repair looks in smaller rooms for a plan of what may be in by what is owned first. It leaves rooms
// like those at home to the search of the whole room then, which decides them sooner.
func (m *making) repair() {
	if m.best != nil || m.impossible || m.problem.Options.LeaveCords || startsByPrices(m) {
		return
	}
	if m.fit(); m.best == nil && !m.impossible && len(m.problem.Jacks) >= problem.Home && !m.provedByCounting(longCount) {
		m.best = exact.Repair(m.ctx, m.problem, m.nearest, m.problem.Options.Work()/4)
	}
}

// rebuild leaves rooms like those at home to what is sooner done than this, and large ones to prices (findByPrices).
func (m *making) rebuild() {
	if m.best != nil && !m.best.Reaches(m.least) && !m.problem.Options.LeaveCords && len(m.problem.Jacks) >= problem.Home && !startsByPrices(m) {
		if m.best = route.Rebuild(m.ctx, m.problem, m.best, m.least); len(m.problem.Jacks) > exact.LargeRoom {
			m.straighten()
		}
	}
}

// raise holds prices in large rooms to the plan that is known, or to what is near one: prices for all else take
// longer than there is.
func (m *making) raise() {
	large, small := len(m.problem.Jacks) > exact.LargeRoom, len(m.problem.Jacks) <= problem.Small
	var known *graph.Patch
	var plugs int
	switch {
	case m.impossible || m.best == nil && !startsByPrices(m) || m.best != nil && m.best.Reaches(m.least) && !small:
		return
	case m.best == nil:
		known, plugs = &m.nearest, estimate(m)
	case large:
		known, plugs = &m.best.Patch, m.best.Score.Plugs
	default:
		plugs = m.best.Score.Plugs
	}
	m.raised = bound.Raise(m.ctx, m.problem, known, plugs, m.workToRaise())
	m.least, m.margins = max(m.least, m.raised.Least), m.raised.Margins
}

// workToRaise is little in rooms like those at home: prices need not prove there what the exact
// search proves, but say what plans may have.
func (m *making) workToRaise() int64 {
	work := m.problem.Options.Work() / 12
	if jacks := int64(len(m.problem.Jacks)); jacks <= problem.Small {
		return min(work, looksToRaise*jacks*jacks)
	}
	return work
}

// looksToRaise is how many looks there are in such rooms, for each two jacks.
const looksToRaise = 5

// narrow looks for the best plan at the bound, with what such a plan may have by the prices of the
// bound. Where there is none the bound is higher. In larger rooms any plan at the bound is left as
// it is, and what comes to no end is searched once more, by cuts and with half of the work.
func (m *making) narrow() {
	small := len(m.problem.Jacks) <= problem.Small
	work := m.problem.Options.Work()
	if !small {
		work /= 8
	}
	for m.narrows() && work > 0 && (small || !m.best.Reaches(m.least)) && m.ctx.Err() == nil {
		in, most := m.margins.About(m.least, m.best.Score.Plugs)
		aim := exact.Aim{Floor: m.least, Most: most, Work: work, Directed: !small, Uncut: !small}
		found := exact.FindWithin(m.ctx, m.problem, m.best, in, aim)
		if found.Stopped && !small {
			aim.Floor, aim.Work, aim.Uncut = found.Least, work/2, false
			found = exact.FindWithin(m.ctx, m.problem, found.Best, in, aim)
		}
		work -= found.Work
		m.best, m.least = found.Best, found.Least
		if !found.Impossible {
			m.searched = small && m.best.Reaches(m.least)
			return
		}
		m.least = most + 1
	}
}

// narrows says whether it is known what plans may have: all of them, or all that are as plain as
// can be, where one is known. Where the session asks for ways by gear, a cord may be needed for
// more than what comes by it.
func (m *making) narrows() bool {
	if m.best == nil || m.margins == nil || m.problem.AsksForWays() {
		return false
	}
	return m.problem.Options.Prefer == plan.PreferFewest || m.best.Score.Unplain == 0
}

// improve leaves smaller rooms to the search of the whole room, which proves as well.
func (m *making) improve() {
	if m.best != nil && !m.best.Reaches(m.least) && !m.problem.Options.LeaveCords && len(m.problem.Jacks) > problem.Small {
		work := workToImprove(m.problem)
		if m.narrows() {
			m.best = exact.Improve(m.ctx, m.problem, m.best, m.margins.Within(m.least), m.least, work/4)
			m.best = exact.Regroup(m.ctx, m.problem, m.best, m.margins.Near(), m.least, work/3)
		}
		m.best = exact.Improve(m.ctx, m.problem, m.best, nil, m.least, work)
	}
}

// workToImprove is less in rooms that have many windows: the first of them find what they find.
func workToImprove(p *problem.Problem) int64 {
	work := p.Options.Work() / 4
	if len(p.Jacks) > exact.LargeRoom {
		work /= 3
	}
	return work
}

func (m *making) searchExactly() {
	if m.searched {
		return
	}
	if m.impossible || m.best == nil && m.provedByCounting(longCount) {
		m.stopped = false
		return
	}
	var in *problem.Narrowed
	if m.narrows() {
		if len(m.problem.Jacks) > problem.Small && !m.best.Reaches(m.least) && m.problem.Options.Effort == 0 {
			return // with less to choose from, the work did not suffice
		}
		in = m.margins.Within(m.best.Score.Plugs)
	}
	work := m.problem.Options.Work()
	if in != nil && len(m.problem.Jacks) <= problem.Small {
		work /= 4 // with less to choose from, all of it did not suffice
	}
	if m.best != nil && m.problem.Options.Effort == 0 && len(m.problem.Jacks) > problem.Small {
		work /= 10 // there is an answer, and a proof is out of reach
	}
	found := exact.Find(m.ctx, m.problem, in, m.best, m.least, work)
	m.best, m.impossible, m.stopped = found.Best, found.Impossible, found.Stopped
	if m.best != nil {
		m.least = found.Least
	}
}

func (m *making) straighten() {
	if m.best != nil {
		m.best = tidy.Straighten(m.problem, m.best)
	}
}
