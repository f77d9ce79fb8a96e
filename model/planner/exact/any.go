package exact

import (
	"context"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/problem"
)

// Asking is the question whether a problem has any plan, for who need not know the best.
type Asking struct {
	search *search
	ctx    context.Context
	like   graph.Patch
}

// Ask asks whether a problem has any plan. The first patches that are looked at are like one
// that is known, so that this gives most of what is asked, or is the one that is in. In is what plans
// may have, nil for everything.
func Ask(ctx context.Context, p *problem.Problem, in *problem.Narrowed, like graph.Patch) *Asking {
	return &Asking{&search{Graph: p.Graph, problem: p, in: in, patience: maxRefusals, quiet: true}, ctx, like}
}

// Any goes on until it has so much work behind it in all, in looks at a literal. The first plan
// that is found is the best that is known.
func (a *Asking) Any(work int64) Outcome {
	s := a.search
	s.work = work
	if s.stopped = s.tooLarge(); !s.stopped {
		if s.enc == nil {
			s.beginAt(a.ctx, a.like)
			if s.in != nil {
				s.enc.countOwned(0)
			}
		}
		s.first()
	}
	return Outcome{Best: s.best, Impossible: s.impossible, Stopped: s.stopped, Work: s.done()}
}

// first looks at one answer after the other until one is a plan.
func (s *search) first() {
	for s.best == nil && !s.impossible && !s.stopped {
		switch s.enc.Solve(nil, max(0, s.work-s.enc.Work)) {
		case clause.No:
			s.impossible = s.refused == 0
			return
		case clause.Unknown:
			s.stopped = true
			return
		case clause.Yes:
		}
		a := s.answer()
		if s.enc.refusal.refineNew(a) || s.enc.refusal.refineStock(a.patch) {
			continue
		}
		if !s.see(a) {
			s.refuse(a)
		}
	}
}
