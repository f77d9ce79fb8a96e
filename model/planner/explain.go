package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/route"
	"bayhand/model/session"
)

// explain says why a session cannot be given: few wants without which the rest can, and
// of each of them what stands in its way.
func (m *making) explain() *plan.Plan {
	p := cannot(m.problem, []plan.Missing{})
	if few := (trying{m}).fewestLeftOut(); few != nil {
		m.dropped, p.Missing = few, trying{m}.explainEach(few)
	} else if m.proof != nil {
		p.Missing = m.explainByCounting()
	} else {
		m.dropped, p.Missing = trying{m}.tried()
	}
	inOrder(m.problem, p.Missing)
	enough{m}.sayWhatWouldDo(p.Missing)
	return p
}

// trying explains by trying what can be had and what cannot.
type trying struct{ *making }

// tried finds a set of wants without which the rest can be given, as small as is found, or, where
// that takes too long, wants of which none can be given beside the others.
func (m trying) tried() (dropped []exact.Wish, all []plan.Missing) {
	if dropped = m.oneLeftOut(); dropped == nil {
		dropped = m.severalLeftOut()
	}
	e := exact.Relax(m.ctx, m.problem, startOf(m.making))
	if dropped == nil {
		return m.oneByOne(e)
	}
	for _, w := range dropped {
		one := m.why(e, w, dropped)
		one.Proof = plan.ByTrying
		all = append(all, one)
	}
	return dropped, all
}

// oneLeftOut is a want or silence without which the rest can be given, the last one that need not be
// kept without interruption; nil where none is found. What is hard to find out is left to the end.
func (m trying) oneLeftOut() []exact.Wish {
	hard := slices.Clone(exact.Wishes(m.problem))
	slices.Reverse(hard)
	slices.SortStableFunc(hard, func(a, b exact.Wish) int { return m.kept(a) - m.kept(b) })
	for _, leaving := range []func([]exact.Wish) *making{m.leavingHastily, m.leaving} {
		all := hard
		hard = nil
		for _, w := range all {
			rest := leaving([]exact.Wish{w})
			if rest.best != nil {
				m.like = &rest.best.Target
				return []exact.Wish{w}
			}
			if !rest.impossible {
				hard = append(hard, w)
			}
		}
	}
	return nil
}

// kept is one for a want that must not be interrupted, and nothing for any other.
func (m trying) kept(w exact.Wish) int {
	if wants, _ := wishedOf(m.problem, w); len(wants) > 0 && wants[0].Keep {
		return 1
	}
	return 0
}

// severalLeftOut is a smallest set of two or more without which the rest can be given, or one that is
// as small as is found; nil for none.
func (m trying) severalLeftOut() []exact.Wish {
	few := exact.Relax(m.ctx, m.problem, startOf(m.making)).FewerDropped(len(exact.Wishes(m.problem))+1, 2, quickly)
	few = m.takenBack(few, 2)
	if len(few) == 2 {
		return few
	}
	if fewest := exact.Relax(m.ctx, m.problem, startOf(m.making)).FewestDropped(m.problem.Options.Work()); few == nil || fewest != nil && len(fewest) < len(few) {
		return fewest
	}
	return few
}

// oneByOne keeps each want that can be had with those kept before it.
func (m trying) oneByOne(e *exact.Relaxed) (dropped []exact.Wish, all []plan.Missing) {
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
func (m trying) why(e *exact.Relaxed, w exact.Wish, dropped []exact.Wish) plan.Missing {
	missing := plan.Missing{Want: w.Text, Key: w.Key}
	work := int64(workForWhy)
	if !m.canBeHad(e, &work, w) {
		return because(missing, "", remedies{m.making}.alone(w))
	}
	with := slices.DeleteFunc(exact.Wishes(m.problem), func(k exact.Wish) bool { return slices.Contains(dropped, k) })
	for i := 0; i < len(with); {
		less := slices.Delete(slices.Clone(with), i, i+1)
		if m.canBeHad(e, &work, w, less...) {
			i++
			continue
		}
		with = less
	}
	together := phrase.Put("it is not possible together with {others}", "others", wishesWords(m.problem, with))
	all := append(with, w)
	if round := roundWords(m.problem, all...); round != "" {
		return because(missing, together, remedy{said: round})
	}
	return because(missing, together, remedies{m.making}.of(all))
}

// workForWhy is the work for what stands in the way of one want, in looks: what is named beside it may be
// more than does where that is spent.
const workForWhy = 2 * sooner

// canBeHad says whether a want can be had together with others; where it is not found out with little
// work, of which so much is left, it is taken for so.
func (m trying) canBeHad(e *exact.Relaxed, work *int64, w exact.Wish, with ...exact.Wish) bool {
	asked := only(m.problem, func(text string) bool {
		return text == w.Text || slices.ContainsFunc(with, func(o exact.Wish) bool { return o.Text == text })
	})
	other, err := newMaking(m.ctx, m.problem.Room, m.problem.From, asked, m.problem.Options)
	if err != nil {
		return e.CanBeHad(w, with...)
	}
	other.problem.Options.Progress, other.unexplained, other.like = nil, true, m.like
	if most, ok := likeOf(other); ok && route.Mend(m.ctx, other.problem, most, func(graph.Patch) bool { return true }) != nil {
		return true
	}
	if other.ownsTooLittle() {
		return false
	}
	if other.owned == nil {
		return e.CanBeHad(w, with...)
	}
	if *work <= 0 {
		return true
	}
	found := other.findOwned(min(*work, sooner), startOf(other))
	*work -= found.Work
	return !found.Impossible
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
