package planner

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
)

// explain says why a session cannot be given: a smallest set of wants without
// which the rest can, and of each of them what stands in its way.
func (m *making) explain() *plan.Plan {
	e := exact.Relax(m.ctx, m.problem)
	m.dropped = e.FewestDropped(m.problem.Options.Work())
	p := cannot(m.problem, []plan.Missing{})
	p.Stopped = m.dropped == nil
	for _, w := range m.dropped {
		p.Missing = append(p.Missing, m.why(e, w))
	}
	return p
}

// why says what stands in the way of one want that was dropped: the kept wants
// with which it cannot be had, found by trying without each of them, and what
// would make it possible.
func (m *making) why(e *exact.Relaxed, w exact.Wish) plan.Missing {
	missing := plan.Missing{Want: w.Text, Key: w.Key}
	if !e.CanBeHad(w) {
		missing.Because = m.alone(w)
		return missing
	}
	with := slices.DeleteFunc(e.Wishes(), func(k exact.Wish) bool { return slices.Contains(m.dropped, k) })
	for i := 0; i < len(with); {
		less := slices.Delete(slices.Clone(with), i, i+1)
		if e.CanBeHad(w, less...) {
			i++
			continue
		}
		with = less
	}
	missing.Because = "it cannot be had together with " + join(with)
	if r := m.remedy(append(with, w)); r != "" {
		missing.Because += "; " + r
	}
	return missing
}

func join(all []exact.Wish) string {
	texts := make([]string, len(all))
	for i, a := range all {
		texts[i] = a.Text
	}
	return strings.Join(texts, ", ")
}

// partly plans the session without what was dropped.
func (m *making) partly(missing []plan.Missing) (*plan.Plan, error) {
	kept := only(m.problem, func(text string) bool {
		return !slices.ContainsFunc(m.dropped, func(w exact.Wish) bool { return w.Text == text })
	})
	less, err := newMaking(m.ctx, m.problem.Room, m.problem.From, kept, m.problem.Options)
	if err != nil {
		return nil, err
	}
	p, err := less.find()
	if err != nil {
		return nil, err
	}
	p.Given = false
	p.Missing = append(slices.Clone(missing), p.Missing...)
	return p, nil
}

// only is the session with those of its wants and silences alone of which the text
// is kept.
func only(t *problem.Problem, kept func(text string) bool) *session.Session {
	less := *t.Session
	less.Wants = slices.DeleteFunc(slices.Clone(less.Wants), func(w session.Want) bool { return !kept(problem.WantText(w)) })
	less.Silent = slices.DeleteFunc(slices.Clone(less.Silent), func(p name.Point) bool { return !kept(problem.SilenceText(p)) })
	return &less
}
