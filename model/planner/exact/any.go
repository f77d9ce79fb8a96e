package exact

import (
	"context"

	"bayhand/model/planner/clause"
	"bayhand/model/planner/problem"
)

// Any looks for any plan of a problem, with so much work, in looks at a literal: for who
// only asks whether there is one. The first that is found is the best that is known.
func Any(ctx context.Context, p *problem.Problem, work int64) Outcome {
	s := &search{Graph: p.Graph, problem: p, work: work, patience: maxRefusals, quiet: true}
	if s.stopped = s.tooLarge(); !s.stopped {
		s.begin(ctx)
		s.first()
	}
	return Outcome{Best: s.best, Impossible: s.impossible, Stopped: s.stopped, Work: s.done()}
}

// first looks at one answer after the other until one is a plan.
func (s *search) first() {
	for s.best == nil && !s.stopped {
		switch s.enc.Solve(nil, max(0, s.work-s.enc.Work)) {
		case clause.No:
			s.impossible = s.refused == 0
			return
		case clause.Unknown:
			s.stopped = true
			return
		case clause.Yes:
		}
		d := s.enc.decode()
		if s.enc.refusal.refine(d) || s.enc.refusal.refineStock(d) {
			continue
		}
		if _, ok := s.see(d); !ok {
			s.refuse(d)
		}
	}
}
