// Package exact finds the best plan of all, and proves that it is: the problem becomes
// clauses of which every patch that gives the session and holds nothing needless is an
// answer, and the least of what such a patch costs is found by cores, sets of costs of
// which one at least must be paid. An answer that package heard does not confirm is
// refused by a clause that every patch which gives the session fulfils. Relax tells,
// where there is no answer, the fewest wants to go without. In large rooms Improve and
// Repair search windows, in which a part of a patch may change while all else stays.
package exact

import (
	"context"

	"bayhand/model/graph"
	"bayhand/model/plan"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
)

// search looks for the best plan of a problem.
type search struct {
	*graph.Graph
	problem *problem.Problem
	in      *problem.Narrowed // what plans may have; nil for everything
	// directed says that the clauses tell from which end a signal comes over metal.
	directed bool
	enc      *encoding
	answers  *answers
	optimum  *optimum
	// pays is what ways of a source pay, by rank, where that is known.
	pays map[rank]pricing
	// work bounds the search, in looks at a literal.
	work  int64
	best  *objective.Candidate
	least int
	floor int
	// most is how many plugs a plan may handle to be of use, where only such are looked for; 0 for any.
	most int
	// refused counts answers that package heard did not confirm or that had
	// something needless, refusedAlone those of which only the one answer was refused.
	refused, refusedAlone int
	// plain says that it is known how plain a plan can be, and plainBound how plain.
	plain      bool
	plainBound int
	// byPut says that more is pulled than put in by the best plan that is known. What goes
	// is then counted by itself (costs.byPut), and the plugs in the bay at the end are found by
	// those that are put in: with what is handled they say how many these are. Where little is
	// put in, that is soon proved, while what stays could stay in many ways.
	byPut      bool
	impossible bool
	stopped    bool
	// exhausted says that no answer is left that would be of use.
	exhausted bool
	// patience is how many answers are refused one by one before a bound that cannot be
	// met is left standing.
	patience int
	// quiet says that what is found in a window is no news of the whole room.
	quiet bool
}

// Outcome is what came of a search.
type Outcome struct {
	// Best is the best plan that is known; nil for none.
	Best *objective.Candidate
	// Least is how many plugs a plan handles at least that is as plain as the best.
	Least int
	// Impossible is true once it is proved that no patch gives the session, Stopped
	// where the work was spent before more was known.
	Impossible, Stopped bool
	// Work is what was spent, in looks at a literal.
	Work int64
}

// maxRefusals is the patience of a search of the whole room.
const maxRefusals = 200

// Find looks for the best plan of a problem, with so much work, in looks at a
// literal. Known is one that was built, or nil, and floor a number of plugs that is
// known to be the least of all. In is what plans may have that handle no more plugs than the
// known one, nil for everything.
func Find(ctx context.Context, p *problem.Problem, in *problem.Narrowed, known *objective.Candidate, floor int, work int64) Outcome {
	s := &search{Graph: p.Graph, problem: p, in: in, best: known, least: floor, floor: floor, work: work, patience: maxRefusals}
	switch {
	case (len(p.Jacks) > problem.Small || s.size() > largest) && known.Reaches(floor):
		// What a search could make tidier is not worth its time.
	case s.tooLarge():
		s.stopped = true
		s.tell()
	default:
		s.begin(ctx)
		s.run()
	}
	return Outcome{s.best, s.bound(), s.impossible, s.stopped, s.done()}
}

// begin makes the clauses. The best plan that is known, if only the present patch,
// is tried first.
func (s *search) begin(ctx context.Context) {
	start := problem.Start(s.problem)
	if s.best != nil {
		start = s.best.Patch
	}
	s.beginAt(ctx, start)
}

// beginAt makes the clauses. A patch is tried first.
func (s *search) beginAt(ctx context.Context, start graph.Patch) {
	s.enc = newEncoding(s.problem, scope{narrowed: s.in, directed: s.directed}, start)
	s.answers = newAnswers(s.problem, start)
	calls := 0
	s.enc.Stop = func() bool {
		calls++
		return calls%64 == 0 && ctx.Err() != nil
	}
}

// tooLarge says whether the room is too large for a search to begin: the clauses
// alone would take all the work that is allowed, or more memory than there may be.
func (s *search) tooLarge() bool { return s.size() > min(s.work, largestOfAll) }

// largestOfAll is the size of a room whose clauses take about a gigabyte.
const largestOfAll = 5e6

// size grows as the number of clauses, which is up to five times as much.
func (s *search) size() int64 {
	return int64(len(s.Crosses)+len(s.Jacks)*len(s.Jacks)/8) * int64(len(s.problem.Wanted))
}

// largest is the size up to which a plan that is proved is made tidier: somewhat more
// than rooms of problem.Small have.
const largest = 45e3

// bound is what is known of the plugs that the best plan takes at least.
func (s *search) bound() int {
	if s.best == nil {
		return s.least
	}
	switch unplain := s.best.Score.Unplain; {
	case s.plain && unplain > s.plainBound:
		return 0 // the bound is one of plainer plans, and there may be none
	case !s.plain && unplain > 0:
		return min(s.least, s.best.Score.Plugs-1) // there may be a plainer way
	}
	return s.least
}

func (s *search) run() {
	if s.problem.Options.Prefer != plan.PreferFewest {
		s.least = s.floor // what more was found, was found of plainer plans
		if !s.plainest(s.work / 4) {
			return
		}
	}
	if (s.best == nil || len(s.Jacks) > problem.Small) && s.enc.Solve(nil, s.work/8) == clause.Yes {
		s.meet()
	}
	s.searchByRank()
}

// searchByRank finds the plan that costs least, by one rank after the other. Where the work
// for one of those after the plugs handled is spent, the plugs of the best plan stay, and the
// least of the rest is found beside these.
func (s *search) searchByRank() {
	s.prepare()
	limit, share, stay := s.work*8/10, s.work/5, false
	for r := handled; r <= lastRank; r++ {
		if !s.stage(r, limit) {
			if stay || !s.stopped || r == handled || s.best == nil {
				return
			}
			s.enc.holdPlugs(s.best.Patch)
			share, stay = max(s.work/50, leastForRest), true
			r--
		}
		limit = s.enc.Work + share
	}
}

// leastForRest is how much work there is at least for what goes with plugs that stay.
const leastForRest = 1e6

// plainest holds the search to plans as plain as can be, where that is found out with
// so much work. It returns false where the search is at its end.
func (s *search) plainest(work int64) bool {
	p := newPreferences(s.enc)
	s.optimum = newOptimum(s.enc.Solver, 0)
	s.optimum.addAll(p.plainCosts(), plain)
	if s.stage(plain, s.enc.Work+work) {
		s.plain, s.plainBound = true, s.optimum.least[plain]
		if s.best != nil && s.best.Score.Unplain == s.plainBound {
			s.enc.preferPatch(s.best.Patch, s.problem.State(s.best.Patch))
		}
		return true
	}
	return !s.impossible
}

// stage finds the least of what costs something by a rank, holds the search to it and
// says whether it came to that.
func (s *search) stage(r rank, limit int64) bool {
	s.optimum.rank, s.optimum.limit = r, limit
	s.optimum.told = func(least weights) {
		if s.quiet {
			return
		}
		s.raise(least[handled])
		s.tell()
	}
	s.optimum.met = s.meet
	s.optimum.enough = func(least weights) bool { return s.known(r).compare(least.upTo(r)) <= 0 }
	s.optimum.told(s.optimum.least)
	s.payFirst(r)
	for {
		switch s.optimum.solve() {
		case clause.No:
			s.exhausted = true
			s.impossible = s.best == nil && s.refused == 0
			s.nothingBetter(r)
			return false
		case clause.Unknown:
			s.stopped = true
			return false
		case clause.Yes:
		}
		if s.optimum.reached() {
			s.optimum.holdTo()
			return true
		}
		a := s.answer()
		if s.enc.refusal.refineNew(a) || s.enc.refusal.refineStock(a.patch) {
			continue
		}
		if s.see(a) && s.costOf(a.completed, r).compare(s.optimum.least.upTo(r)) <= 0 { // as good as its clauses promised
			s.optimum.holdTo()
			return true
		}
		if !s.refuse(a) {
			return false
		}
	}
}

// nothingBetter takes the best plan for what it is where no answer is left: all that were
// left out cost as much at least.
func (s *search) nothingBetter(r rank) {
	if r > plain && s.known(r) != endless {
		s.raise(s.best.Score.Plugs)
	}
}

// raise takes what answers handle at least for what all plans do: those that handle more than the
// most are not among the answers.
func (s *search) raise(least int) {
	if s.most > 0 {
		least = min(least, s.most+1)
	}
	s.least = max(s.least, least)
}

// refuse adds clauses that refuse an answer which is no better than what is known. It
// returns false where too many were refused one by one.
func (s *search) refuse(a *answers) bool {
	s.refused++
	if s.enc.refusal.refusePlugs(a.patch) || !s.problem.Options.LeaveCords && s.enc.refusal.refuseNeedless(a.again(), a.patch, a.stripped) {
		return true
	}
	if s.refusedAlone++; s.refusedAlone > s.patience {
		s.stopped = true
		return false
	}
	s.enc.Add(s.enc.otherPatch(a.patch)...)
	return true
}

// answer is the answer found last, which is judged where it was not.
func (s *search) answer() *answers {
	s.answers.hold(s.enc.decode())
	return s.answers
}

// meet looks at an answer on the way.
func (s *search) meet() bool {
	a := s.answer()
	if s.enc.refusal.refineNew(a) {
		return false
	}
	s.see(a)
	return true
}

// see keeps an answer if it is the best yet, and says whether it is a plan.
func (s *search) see(a *answers) bool {
	f := a.complete(s.best)
	if f != nil && (s.best == nil || f.Score.Less(s.best.Score)) {
		s.best = f
		s.tell()
	}
	return f != nil
}

func (s *search) tell() {
	if !s.quiet {
		objective.Tell(s.problem, s.done(), s.least, s.best)
	}
}

// done is the work that is done.
func (s *search) done() int64 {
	if s.enc == nil {
		return 0
	}
	return s.enc.Work
}
