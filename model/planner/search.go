package planner

import (
	"context"
	"math"

	"bayhand/model/graph"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner/clause"
)

// candidate is a draft that gives the session, with how one comes to it.
type candidate struct {
	patch  graph.Patch
	moves  []plan.Move
	target patch.Patch
	score  score
}

// score orders plans: the plainest, where that is asked for, then the fewest
// plugs handled, then the fewest plugs in the bay, then the fewest normals
// broken, then the fewest crosspoints changed.
type score struct {
	unplain, plugs, inBay, broken, changed int
}

func (s score) less(o score) bool {
	switch {
	case s.unplain != o.unplain:
		return s.unplain < o.unplain
	case s.plugs != o.plugs:
		return s.plugs < o.plugs
	case s.inBay != o.inBay:
		return s.inBay < o.inBay
	case s.broken != o.broken:
		return s.broken < o.broken
	}
	return s.changed < o.changed
}

// search looks for the best plan of a task.
type search struct {
	*graph.Graph
	task    *task
	enc     *encoding
	optimum *optimum
	best    *candidate
	least   int
	floor   int
	// refused counts answers that package heard did not confirm or that had
	// something needless, alone those of which only the one answer was refused.
	refused, refusedAlone int
	// plain says that it is known how plain a plan can be, and law how plain.
	plain      bool
	plainBound int
	// laws are what the stages for tidiness came to.
	tidyBounds [forChanges + 1]int
	// impossible is true once it is proved that no patch gives the session.
	impossible bool
	stopped    bool
}

// maxRefusals is how many answers are refused one by one before a bound that
// cannot be met is left standing.
const maxRefusals = 200

// search looks for the best plan of a task; known is one that was built, or nil,
// and floor a number of plugs that is known to be the least of all.
func (t *task) search(ctx context.Context, known *candidate, floor int) *search {
	s := &search{Graph: t.Graph, task: t, best: known, least: floor, floor: floor}
	if len(t.Jacks) > small && known.reaches(floor) {
		return s // what a search could make tidier is not worth its time
	}
	if t.tooLarge() {
		s.stopped = true
		s.tell()
		return s
	}
	calls := 0
	stop := func() bool {
		calls++
		return calls%64 == 0 && ctx.Err() != nil
	}
	start := t.present
	if known != nil {
		start = known.patch
	}
	s.enc = newEncoding(t, false, start)
	s.enc.Stop = stop
	s.run()
	return s
}

// tooLarge says whether the room is too large for a search to begin: the clauses
// alone would take all the work that is allowed.
func (t *task) tooLarge() bool {
	return int64(len(t.Crosses)+len(t.Jacks)*len(t.Jacks)/8)*int64(len(t.wanted)) > t.options.effort()
}

// bound is what is known of the plugs that the best plan takes at least.
func (s *search) bound() int {
	switch taste := s.best.score.unplain; {
	case s.plain && taste > s.plainBound:
		return 0 // the bound is one of plainer plans, and there may be none
	case !s.plain && taste > 0:
		return min(s.least, s.best.score.plugs-1) // there may be a plainer way
	}
	return s.least
}

func (s *search) run() {
	effort := s.task.options.effort()
	if s.task.options.Prefer != plan.PreferFewest {
		s.least = s.floor // what more was found was under a law that holds no more
		if !s.plainest(effort / 4) {
			return
		}
	}
	costs, held := s.enc.plugCosts()
	if (s.best == nil || len(s.Jacks) > small) && s.enc.Solve(nil, effort/8) == clause.Yes {
		s.meet()
	}
	if !s.stage(costs, effort*8/10, forPlugs) {
		return
	}
	for i, costs := range s.enc.tidyCosts(held) {
		a := forInBay + aim(i)
		if !s.stage(costs, s.enc.Work+effort/10, a) {
			return
		}
		s.tidyBounds[a] = s.optimum.least
	}
}

// plainest makes it a law that a plan is as plain as can be, where that is found
// out with so much work. It returns false where the search is at its end.
func (s *search) plainest(work int64) bool {
	if s.stage(s.enc.plainCosts(), s.enc.Work+work, forPlain) {
		s.plain, s.plainBound = true, s.optimum.least
		if s.best != nil && s.best.score.unplain == s.plainBound {
			s.enc.preferPatch(s.best.patch)
		}
		return true
	}
	return !s.impossible
}

// aim is what a stage of the search is for.
type aim uint8

const (
	forPlain aim = iota + 1
	forPlugs
	forInBay
	forNormals
	forChanges
)

// stage finds the least total of some costs, makes it a law and says whether it
// came to that.
func (s *search) stage(costs []cost, limit int64, a aim) bool {
	s.optimum = newOptimum(s.enc.Solver, limit)
	for _, c := range costs {
		s.optimum.add(c.lit, c.weight, c.source)
	}
	s.optimum.told = func(least int) {
		if a == forPlugs {
			s.least = max(s.least, least)
			s.tell()
		}
	}
	s.optimum.met = s.meet
	s.optimum.enough = func(least int) bool { return s.known(a) <= least }
	s.optimum.told(s.optimum.least)
	if a == forPlugs {
		s.optimum.solveGroups(s.task.wanted, s.task.options.effort()/int64(8*max(1, len(s.task.wanted))))
	}
	for {
		switch s.optimum.solve() {
		case clause.No:
			s.impossible = s.best == nil && s.refused == 0
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
		d := s.enc.decode()
		if s.enc.refine(d) || s.enc.refineStock(d) {
			continue
		}
		if s.consider(d, a) {
			s.optimum.holdTo()
			return true
		}
		if s.refused++; !s.task.options.LeaveCords && s.enc.refuseNeedless(d, s.task.pruned(d)) {
			continue
		}
		if s.refusedAlone++; s.refusedAlone > maxRefusals {
			s.stopped = true
			return false
		}
		s.enc.Add(s.enc.otherPatch(d)...)
	}
}

// known is what the best plan so far has of what a stage counts, where it has no
// more than must be of what went before.
func (s *search) known(a aim) int {
	if s.best == nil || a != forPlain && s.plain && s.best.score.unplain > s.plainBound {
		return math.MaxInt
	}
	switch sc := s.best.score; {
	case a == forPlain:
		return sc.unplain
	case a == forPlugs:
		return sc.plugs
	case sc.plugs > s.least:
		return math.MaxInt
	case a == forInBay:
		return sc.inBay
	case a == forNormals && sc.inBay == s.tidyBounds[forInBay]:
		return sc.broken
	case a == forChanges && sc.inBay == s.tidyBounds[forInBay] && sc.broken == s.tidyBounds[forNormals]:
		return sc.changed
	}
	return math.MaxInt
}

// meet looks at an answer on the way.
func (s *search) meet() bool {
	d := s.enc.decode()
	if s.enc.refine(d) {
		return false
	}
	s.see(d)
	return true
}

// see keeps an answer if it is the best yet.
func (s *search) see(d graph.Patch) (*candidate, bool) {
	if s.task.stock.shortage(d.Cords) != nil || !s.task.gives(d) {
		return nil, false
	}
	f, ok := s.task.prunedCandidate(d)
	if ok && (s.best == nil || f.score.less(s.best.score)) {
		s.best = f
		s.tell()
	}
	return f, ok
}

// consider keeps an answer if it is the best yet, and says whether it is as good
// as its clauses promised.
func (s *search) consider(d graph.Patch, a aim) bool {
	f, ok := s.see(d)
	return ok && (a != forPlugs || f.score.plugs <= s.optimum.least)
}

// prunedCandidate completes a draft that gives the session.
func (t *task) prunedCandidate(d graph.Patch) (*candidate, bool) {
	if !t.options.LeaveCords {
		d = t.pruned(d)
	}
	return t.candidateOf(d)
}

// candidateOf says how one comes to a draft.
func (t *task) candidateOf(d graph.Patch) (*candidate, bool) {
	moves, target, ok := t.moves(d)
	if !ok {
		return nil, false
	}
	n := t.stateOf(d)
	sc := score{unplain: t.unplainness(d), plugs: plugs(moves), inBay: len(d.Plugs()), changed: len(t.changes(d))}
	for m := range t.Normals {
		if !n.Holds(m) {
			sc.broken++
		}
	}
	return &candidate{d, moves, target, sc}, true
}

func (s *search) tell() { s.task.tell(s.work(), s.least, s.best) }

// tell tells who waits for a plan how far it is.
func (t *task) tell(work int64, least int, best *candidate) {
	if t.options.Progress == nil {
		return
	}
	plugs := -1
	if best != nil {
		plugs = best.score.plugs
	}
	t.options.Progress(int(work/1e6), least, plugs)
}

func (s *search) work() int64 {
	if s.enc == nil {
		return 0
	}
	return s.enc.Work
}
