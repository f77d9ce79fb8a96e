package planner

import (
	"context"
	"math"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner/clause"
)

// found is a draft that gives the session, with how one comes to it.
type found struct {
	draft  graph.Patch
	moves  []plan.Move
	target patch.Patch
	score  score
}

// score orders plans: the plainest, where that is asked for, then the fewest
// plugs handled, then the fewest plugs in the bay, then the fewest normals
// broken, then the fewest crosspoints changed.
type score struct {
	taste, plugs, inBay, broken, changed int
}

func (s score) less(o score) bool {
	switch {
	case s.taste != o.taste:
		return s.taste < o.taste
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
	*task
	*encoding
	optimum *optimum
	best    *found
	least   int
	floor   int
	// refused counts answers that package heard did not confirm or that had
	// something needless, alone those of which only the one answer was refused.
	refused, alone int
	// short says that a cord of the stock or a dummy ran short, so that another
	// mode of search is needed.
	short bool
	spent int64
	// improved says that an answer of this mode was made better once.
	improved bool
	// plain says that it is known how plain a plan can be, and law how plain.
	plain bool
	law   int
	// laws are what the stages for tidiness came to.
	laws [forChanges + 1]int
	// impossible is true once it is proved that no patch gives the session.
	impossible bool
	stopped    bool
}

// patience is how many answers are refused one by one before a bound that
// cannot be met is left standing.
const patience = 200

// search looks for the best plan of a task; known is one that was built, or nil,
// and floor a number of plugs that is known to be the least of all.
func (t *task) search(ctx context.Context, known *found, floor int) *search {
	s := &search{task: t, best: known, least: floor, floor: floor}
	if len(t.Jacks) > small && known.reaches(floor) {
		return s // what a search could make tidier is not worth its time
	}
	if t.tooLarge() || t.options.off("search") {
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
		start = known.draft
	}
	for _, m := range t.modes() {
		s.encoding = newEncoding(t, m, start)
		s.encoding.Stop = stop
		s.encoding.Work = s.spent
		s.short, s.refused, s.alone, s.stopped, s.improved, s.plain = false, 0, 0, false, false, false
		s.run()
		if s.spent = s.encoding.Work; !s.short && !(s.impossible && m.generous && t.options.LeaveCords) {
			break
		}
	}
	return s
}

// tooLarge says whether the room is too large for a search to begin: the clauses
// alone would take all the work that is allowed.
func (t *task) tooLarge() bool {
	return int64(len(t.Crosses)+len(t.Jacks)*len(t.Jacks)/8)*int64(len(t.wanted)) > t.options.effort()
}

// exact says whether the clauses reckon with every cord and dummy that is owned.
func (s *search) exact() bool { return !s.generous && !s.twins }

// modes are the ways to search, from the quickest. The next is for when the
// stock or the dummies run short.
func (t *task) modes() []mode {
	switch {
	case t.options.LeaveCords || t.options.off("modes"):
		return []mode{{}}
	case t.options.off("twins"):
		return []mode{{generous: true}, {}}
	case t.options.off("generous"):
		return []mode{{twins: true}, {}}
	}
	return []mode{{generous: true, twins: true}, {twins: true}, {}}
}

// bound is what is known of the plugs that the best plan takes at least.
func (s *search) bound() int {
	switch taste := s.best.score.taste; {
	case s.plain && taste > s.law:
		return 0 // the bound is one of plainer plans, and there may be none
	case !s.plain && taste > 0:
		return min(s.least, s.best.score.plugs-1) // there may be a plainer way
	}
	return s.least
}

func (s *search) run() {
	effort := s.options.effort()
	if s.options.Prefer != plan.PreferFewest {
		s.least = s.floor // what more was found was under a law that holds no more
		if !s.plainest(effort / 4) {
			return
		}
	}
	costs, held := s.plugCosts()
	if !s.options.off("early") && (s.best == nil || len(s.Jacks) > small) && s.encoding.Solve(nil, effort/8) == clause.Yes {
		s.meet(costs, forPlugs)
	}
	if !s.stage(costs, effort*8/10, forPlugs) {
		return
	}
	if s.options.off("tidy") {
		return
	}
	for i, costs := range s.tidyCosts(held) {
		a := forInBay + aim(i)
		if !s.stage(costs, s.encoding.Work+effort/10, a) {
			return
		}
		s.laws[a] = s.optimum.least
	}
}

// plainest makes it a law that a plan is as plain as can be, where that is found
// out with so much work. It returns false where the search is at its end.
func (s *search) plainest(work int64) bool {
	if s.stage(s.tasteCosts(), s.encoding.Work+work, forTaste) {
		s.plain, s.law = true, s.optimum.least
		if s.best != nil && s.best.score.taste == s.law {
			s.remember(s.best.draft)
		}
		return true
	}
	return !s.impossible && !s.short
}

// aim is what a stage of the search is for.
type aim uint8

const (
	forTaste aim = iota + 1
	forPlugs
	forInBay
	forNormals
	forChanges
)

// stage finds the least total of some costs, makes it a law and says whether it
// came to that.
func (s *search) stage(costs []cost, limit int64, a aim) bool {
	s.optimum = newOptimum(s.encoding.Solver, limit)
	for _, c := range costs {
		s.optimum.add(c.lit, c.weight, c.source)
	}
	s.optimum.told = func(least int) {
		if a == forPlugs {
			s.least = max(s.least, least)
			s.tell()
		}
	}
	s.optimum.met = func() bool { return s.meet(costs, a) }
	s.optimum.enough = func(least int) bool { return s.known(a) <= least }
	s.optimum.told(s.optimum.least)
	s.optimum.untrimmed = s.options.off("trim")
	if a == forPlugs && !s.options.off("groups") {
		s.optimum.solveGroups(s.wanted, s.options.effort()/int64(8*max(1, len(s.wanted))))
	}
	for {
		switch s.optimum.solve() {
		case clause.No:
			// Under a law of taste that was found with more than is owned, that says
			// little.
			s.short = s.plain && !s.exact()
			s.impossible = !s.short && s.best == nil && s.refused == 0
			return false
		case clause.Unknown:
			s.stopped = true
			return false
		case clause.Yes:
		}
		if s.optimum.reached() {
			s.optimum.keep()
			return true
		}
		d := s.decode()
		if s.refine(d) {
			continue
		}
		if (a != forTaste || s.exact()) && s.lacks(d) {
			if s.short {
				return false
			}
			continue
		}
		if s.consider(d, a) {
			s.optimum.keep()
			return true
		}
		if s.short {
			return false
		}
		if s.refused++; !s.options.LeaveCords && !s.options.off("needless") && s.refuseNeedless(d, s.strip(d)) {
			continue
		}
		if s.alone++; s.alone > patience {
			s.stopped = true
			return false
		}
		s.encoding.Add(s.differently(d)...)
	}
}

// known is what the best plan so far has of what a stage counts, where it has no
// more than must be of what went before.
func (s *search) known(a aim) int {
	if s.best == nil || a != forTaste && s.plain && s.best.score.taste > s.law {
		return math.MaxInt
	}
	switch sc := s.best.score; {
	case a == forTaste:
		return sc.taste
	case a == forPlugs:
		return sc.plugs
	case sc.plugs > s.least:
		return math.MaxInt
	case a == forInBay:
		return sc.inBay
	case a == forNormals && sc.inBay == s.laws[forInBay]:
		return sc.broken
	case a == forChanges && sc.inBay == s.laws[forInBay] && sc.broken == s.laws[forNormals]:
		return sc.changed
	}
	return math.MaxInt
}

// meet looks at an answer on the way, and makes the first better.
func (s *search) meet(costs []cost, a aim) bool {
	d := s.decode()
	if s.refine(d) {
		return false
	}
	s.see(s.hangSome(d))
	if a == forPlugs && !s.improved && !s.options.off("improve") {
		s.improved = true
		s.improve(costs, s.encoding.Work+s.options.effort()/5)
	}
	return true
}

// see keeps an answer if it is the best yet.
func (s *search) see(d graph.Patch) (*found, bool) {
	if s.tooManyDummies(d) || s.shelf.hall(d.Cords) != nil || !s.gives(d) {
		return nil, false
	}
	f, ok := s.found(d)
	if ok && (s.best == nil || f.score.less(s.best.score)) {
		s.best = f
		s.tell()
	}
	return f, ok
}

// consider keeps an answer if it is the best yet, and says whether it is as good
// as its clauses promised. Where it is not for want of dummies or cords, another
// mode of search is needed. How plain a plan can be in this mode is known from any
// answer, also from one that there are not the cords and dummies for: it can only
// be less plain with fewer of them.
func (s *search) consider(d graph.Patch, a aim) bool {
	d = s.hangSome(d)
	if a == forTaste && !s.exact() {
		s.see(d)
		return true
	}
	if s.tooManyDummies(d) {
		s.short = s.generous && a == forPlugs
		return false
	}
	if !s.gives(d) {
		return false
	}
	f, ok := s.see(d)
	switch {
	case !ok:
		s.short = s.twins && a == forPlugs
		return false
	case a == forPlugs && f.score.plugs > s.optimum.least:
		// Where nothing was needless, the lengths of cords made the difference.
		s.short = s.twins && len(f.draft.Plugs()) == len(d.Plugs())
		return false
	}
	return true
}

// lacks says whether the stock does not suffice for an answer, and sees to it
// that it is asked for no more.
func (s *search) lacks(d graph.Patch) bool {
	if s.shelf.hall(d.Cords) == nil {
		return false
	}
	if s.twins {
		s.short = true
		return true
	}
	return s.refineStock(d)
}

// tooManyDummies says whether a draft has more dummies than there are.
func (t *task) tooManyDummies(d graph.Patch) bool {
	return t.Studio.Dummies >= 0 && len(d.Dummies) > max(t.Studio.Dummies, len(t.present.Dummies))
}

// hangSome lets cords hang in place of the dummies that are lacking, where the
// taste allows it and nothing on the net is at microphone level.
func (t *task) hangSome(d graph.Patch) graph.Patch {
	if !t.tooManyDummies(d) || t.options.Prefer != plan.PreferFewest {
		return d
	}
	n := t.stateOf(d)
	less := d.Clone()
	for i := len(less.Dummies) - 1; i >= 0 && t.tooManyDummies(less); i-- {
		j := less.Dummies[i]
		if slices.Contains(t.present.Dummies, j) || n.Mic(n.NetOf(t.Jacks[j].Node)) || !t.shelf.anyHangs(j) {
			continue
		}
		less.Dummies = slices.Delete(less.Dummies, i, i+1)
		less.Cords = append(less.Cords, [2]int{j, graph.None})
	}
	less.Sort()
	if t.shelf.hall(less.Cords) != nil {
		return d
	}
	return less
}

// found completes a draft that gives the session.
func (t *task) found(d graph.Patch) (*found, bool) {
	if !t.options.LeaveCords {
		d = t.strip(d)
	}
	return t.completed(d)
}

// completed says how one comes to a draft.
func (t *task) completed(d graph.Patch) (*found, bool) {
	moves, target, ok := t.moves(d)
	if !ok {
		return nil, false
	}
	n := t.stateOf(d)
	sc := score{taste: t.taste(d), plugs: plugs(moves), inBay: len(d.Plugs()), changed: len(t.changes(d))}
	for m := range t.Normals {
		if !n.Holds(m) {
			sc.broken++
		}
	}
	return &found{d, moves, target, sc}, true
}

func (s *search) tell() { s.task.tell(s.work(), s.least, s.best) }

// tell tells who waits for a plan how far it is.
func (t *task) tell(work int64, least int, best *found) {
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
	if s.encoding == nil {
		return 0
	}
	return s.encoding.Work
}
