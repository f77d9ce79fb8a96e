package plan

import (
	"context"

	"bayhand/model/patch"
	"bayhand/model/plan/clause"
)

// found is a draft that gives the session, with how one comes to it.
type found struct {
	draft  draft
	moves  []Move
	target patch.Patch
	score  score
}

// score orders plans: the fewest plugs handled, then the fewest plugs in the
// bay, then the fewest normals broken, then the fewest crosspoints changed.
type score struct {
	plugs, inBay, broken, changed int
}

func (s score) less(o score) bool {
	switch {
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
	// refused counts answers that package heard did not confirm or that had
	// something needless, of which only the one answer was refused.
	refused int
	// impossible is true once it is proved that no patch gives the session.
	impossible bool
	stopped    bool
	told       func(done, least, best int)
}

// patience is how many answers are refused one by one before a bound that
// cannot be met is left standing.
const patience = 200

func (t *task) search(ctx context.Context) *search {
	s := &search{task: t, encoding: newEncoding(t, false), told: t.options.Progress}
	calls := 0
	s.encoding.Stop = func() bool {
		calls++
		return calls%64 == 0 && ctx.Err() != nil
	}
	s.run()
	return s
}

func (s *search) run() {
	s.remember(s.present)
	effort := s.options.effort()
	if s.options.Prefer != PreferFewest {
		if !s.stage(s.tasteCosts(), effort/5, nil) {
			return
		}
		s.best = nil
	}
	costs := s.plugCosts()
	s.improve(costs, s.encoding.Work+effort/5)
	if !s.stage(costs, effort*8/10, &s.least) {
		return
	}
	for _, costs := range s.tidyCosts() {
		if !s.stage(costs, s.encoding.Work+effort/10, nil) {
			return
		}
	}
}

// stage finds the least total of some costs, makes it a law and says whether it
// came to that. Bound is raised as the search goes on.
func (s *search) stage(costs []cost, limit int64, bound *int) bool {
	s.optimum = newOptimum(s.encoding.Solver, limit)
	for _, c := range costs {
		s.optimum.add(c.lit, c.weight)
	}
	s.optimum.told = func(least int) {
		if bound != nil {
			*bound = least
			s.tell()
		}
	}
	s.optimum.told(s.optimum.least)
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
		d := s.decode()
		if s.refine(d) {
			continue
		}
		if s.consider(d, bound) {
			s.optimum.keep()
			return true
		}
		s.refused++
		if s.refused > patience {
			s.stopped = true
			return false
		}
		s.encoding.Add(s.differently(d)...)
	}
}

// consider keeps an answer if it is the best yet, and says whether it is as good
// as its clauses promised.
func (s *search) consider(d draft, bound *int) bool {
	if !s.gives(d) {
		return false
	}
	f, ok := s.found(d)
	if !ok {
		return false
	}
	if s.best == nil || f.score.less(s.best.score) {
		s.best = f
		s.tell()
	}
	return bound == nil || f.score.plugs <= *bound
}

// found completes a draft that gives the session.
func (t *task) found(d draft) (*found, bool) {
	if !t.options.LeaveCords {
		d = t.strip(d)
	}
	moves, target, ok := t.moves(d)
	if !ok {
		return nil, false
	}
	n := t.nets(d)
	sc := score{plugs: plugs(moves), inBay: len(d.plugs()), changed: len(t.changes(d))}
	for _, m := range t.normals {
		if !n.holds(m) {
			sc.broken++
		}
	}
	return &found{d, moves, target, sc}, true
}

func (s *search) tell() {
	if s.told == nil {
		return
	}
	best := -1
	if s.best != nil {
		best = s.best.score.plugs
	}
	s.told(int(s.encoding.Work/1e6), s.least, best)
}
