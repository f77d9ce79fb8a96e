package exact

import (
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
)

// prepare makes the costs of all ranks.
func (s *search) prepare() {
	s.byPut = s.putsLittle()
	plugs, p := s.preparePlugs(lastRank), newPreferences(s.enc)
	s.optimum.addAll(plugs.inBay(), inBay)
	s.optimum.addAll(p.normalCosts(), broken)
	s.optimum.addAll(p.changeCosts(), changed)
	s.pays = map[rank]pricing{handled: plugs.newPlug, broken: p.breaks, changed: p.changes}
}

// putsLittle says whether more is pulled than put in by the best plan that is known.
func (s *search) putsLittle() bool {
	return s.best != nil && 2*putIn(s.problem, s.best.Score) < s.best.Score.Plugs
}

// preparePlugs makes the costs of the plugs handled. An answer is of use that is better than the best
// plan up to a rank.
func (s *search) preparePlugs(until rank) *costs {
	s.optimum = newOptimum(s.enc.Solver, 0)
	s.optimum.improves = func() weights { return s.toBeat(until) }
	plugs := s.enc.plugCosts(s.byPut)
	s.optimum.addAll(plugs.found, handled)
	return plugs
}

// known is what the best plan so far costs, up to a rank; endless where none is known that
// is as plain as can be.
func (s *search) known(r rank) weights {
	if s.best == nil || r > plain && s.plain && s.best.Score.Unplain > s.plainBound {
		return endless
	}
	return s.costOf(s.best, r)
}

// toBeat is what an answer has to cost less than to be of use, up to a rank.
func (s *search) toBeat(r rank) weights {
	known := s.known(r)
	if tooMuch := weighing(handled, s.most+1); s.most > 0 && tooMuch.compare(known) < 0 {
		return tooMuch
	}
	return known
}

// costOf is what a plan costs, up to a rank.
func (s *search) costOf(f *objective.Candidate, r rank) weights {
	sc := f.Score
	if r == plain {
		return weighing(plain, sc.Unplain)
	}
	w := weights{handled: sc.Plugs, inBay: sc.InBay, broken: sc.Broken, changed: sc.Changed}
	switch {
	case len(s.problem.Present.Plugs()) == 0:
		w[inBay] = 0
	case s.byPut:
		w[inBay] = putIn(s.problem, sc)
	}
	return w.upTo(r)
}

// putIn is how many plugs a plan puts in: what it handles and what is in the bay at the end
// say it.
func putIn(p *problem.Problem, sc objective.Score) int {
	return (sc.Plugs + sc.InBay - len(p.Present.Plugs())) / 2
}
