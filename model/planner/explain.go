package planner

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
)

// explain says why a session cannot be given: few wants without which the rest can, and
// of each of them what stands in its way.
func (m *making) explain() *plan.Plan {
	p := cannot(m.problem, []plan.Missing{})
	if m.proof != nil {
		p.Missing = m.explainByCounting()
	} else {
		m.dropped, p.Missing = m.tried()
	}
	inOrder(m.problem, p.Missing)
	enough{m}.sayWhatWouldDo(p.Missing)
	return p
}

// tried finds a smallest set of wants without which the rest can be given, or, where that
// takes too long, wants of which none can be given beside the others.
func (m *making) tried() (dropped []exact.Wish, all []plan.Missing) {
	e := exact.Relax(m.ctx, m.problem)
	if dropped = e.FewestDropped(m.problem.Options.Work()); dropped == nil {
		return m.oneByOne(e)
	}
	for _, w := range dropped {
		one := m.why(e, w, dropped)
		one.Proof = plan.ByTrying
		all = append(all, one)
	}
	return dropped, all
}

// oneByOne keeps each want that can be had with those kept before it.
func (m *making) oneByOne(e *exact.Relaxed) (dropped []exact.Wish, all []plan.Missing) {
	var kept []exact.Wish
	for _, w := range exact.Wishes(m.problem) {
		if e.CanBeHad(w, kept...) {
			kept = append(kept, w)
			continue
		}
		dropped = append(dropped, w)
		all = append(all, plan.Missing{Want: w.Text, Key: w.Key, Proof: plan.ByTrying,
			Because: "it is not possible together with all else in the session; every way was tried"})
	}
	return dropped, all
}

// why says what stands in the way of one want that was dropped: the kept wants
// with which it cannot be had, found by trying without each of them, and what
// would make it possible.
func (m *making) why(e *exact.Relaxed, w exact.Wish, dropped []exact.Wish) plan.Missing {
	missing := plan.Missing{Want: w.Text, Key: w.Key}
	if !e.CanBeHad(w) {
		return because(missing, "", remedies{m}.alone(w))
	}
	with := slices.DeleteFunc(exact.Wishes(m.problem), func(k exact.Wish) bool { return slices.Contains(dropped, k) })
	for i := 0; i < len(with); {
		less := slices.Delete(slices.Clone(with), i, i+1)
		if e.CanBeHad(w, less...) {
			i++
			continue
		}
		with = less
	}
	together := phrase.Put("it is not possible together with {others}", "others", wishesWords(m.problem, with))
	return because(missing, together, remedies{m}.of(append(with, w)))
}

// because says why something is missing, with what was said of a remedy.
func because(missing plan.Missing, why string, r remedy) plan.Missing {
	missing.Because, missing.Enough, missing.Mended = why, r.enough, r.mended
	switch {
	case why == "":
		missing.Because = r.said
	case r.said != "":
		missing.Because = phrase.Put("{why}: {reason}", "why", why, "reason", r.said)
	}
	return missing
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
