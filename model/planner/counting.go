package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/plan"
	"bayhand/model/planner/cut"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/route"
)

// Where counting proves that a session cannot be given, counting also says why: what is
// asked of the proof are the fewest wants that cannot be had together. One of them is
// left out after the other, until a plan is found for the rest.

// These bound the search for a proof by counting, in places and jacks looked at: where a
// plan may yet be built, some 5 ms, and once none was, some 50 ms.
const (
	shortCount = 1e6
	longCount  = 10e6
)

// provedByCounting looks for a proof that there is no plan, by counting.
func (m *making) provedByCounting(work int64) bool {
	if m.proof == nil && m.counted < work {
		m.proof, m.counted = cut.Find(m.problem, m.alike, work), work
	}
	m.impossible = m.impossible || m.proof != nil
	return m.proof != nil
}

// counting explains a proof by counting.
type counting struct{ made *making }

// explainByCounting leaves wants and silences out, one after the other, until there is a
// plan for the rest. What stands in the way of the rest and no counting proves is
// explained by trying.
func (m *making) explainByCounting() []plan.Missing {
	var all []plan.Missing
	rest := m
	for rest.proof != nil {
		asked := askedIn(rest.problem, rest.proof)
		if len(asked) == 0 {
			break
		}
		drop := counting{rest}.leftOut(asked)
		all = append(all, counting{rest}.missing(drop, asked, m.dropped))
		m.dropped = append(m.dropped, drop)
		less, err := rest.goOnWithout(drop)
		if err != nil {
			break
		}
		rest = less
	}
	if rest.best != nil {
		m.like = &rest.best.Target
	}
	if rest.best == nil && rest.impossible {
		dropped, missing := trying{rest}.tried()
		m.dropped, m.like = append(m.dropped, dropped...), rest.like
		all = append(all, missing...)
	}
	if fewer := (trying{m}).fewerLeftOut(); fewer != nil {
		m.dropped, all = fewer, trying{m}.explainEach(fewer)
	}
	return all
}

// goOnWithout plans the session without something; it does not explain.
func (m *making) goOnWithout(drop exact.Wish) (*making, error) {
	less, err := newMaking(m.ctx, m.problem.Room, m.problem.From, only(m.problem, func(text string) bool { return text != drop.Text }), m.problem.Options)
	if err != nil {
		return nil, err
	}
	less.problem.Options.Progress = nil
	less.wholly, less.alike = m.wholly, m.proof
	less.findQuickly(longCount, quickly)
	return less, nil
}

// quickly is the work that an exact search may take to find any plan at all, in looks, and
// sooner what it takes at most where there is a plan that is easily found: less than much
// counting takes, which proves nothing then.
const (
	quickly = 20e6
	sooner  = 2e6
)

// findQuickly finds any plan, or a proof that there is none, with so much work for counting
// and for an exact search. A plan is built want by want as long as that is easy, first one like a known
// one; where it is not, the search decides sooner.
func (m *making) findQuickly(count, work int64) {
	var found *exact.Outcome
	decided := func(draft graph.Patch) bool {
		if m.cannotBe(count) {
			return true
		}
		if found == nil {
			found = findAny(m, count, work, draft)
		}
		return m.hasty || m.proof != nil || found.Best != nil || found.Impossible
	}
	if most, ok := likeOf(m); ok {
		m.best = route.Mend(m.ctx, m.problem, most, func(graph.Patch) bool { return decided(most) })
	} else if !m.cannotBe(count) {
		m.best, m.nearest = route.Build(m.ctx, m.problem, m.least, route.Others{Hopeless: decided})
	}
	if m.best == nil && decided(startAt(m)) && found != nil {
		m.best, m.impossible = found.Best, m.impossible || found.Impossible
	}
}

// cannotBe says whether there is no plan by what is owned, or by a little counting.
func (m *making) cannotBe(count int64) bool {
	return m.ownsTooLittle() || m.impossible || m.owned == nil && m.provedByCounting(min(count, shortCount))
}

// findAny looks for any plan by an exact search, and for a proof by counting that there is
// none, unless one is found soon. The patches that are looked at first are like a draft.
func findAny(m *making, count, work int64, draft graph.Patch) *exact.Outcome {
	if m.owned != nil {
		found := m.findOwned(work, draft)
		if found.Best == nil && !m.unexplained {
			m.provedByCounting(count)
		}
		return &found
	}
	asking := exact.Ask(m.ctx, m.problem, nil, draft)
	found := asking.Any(min(work, sooner))
	if found.Best == nil && !m.provedByCounting(count) && !found.Impossible {
		found = asking.Any(work)
	}
	return &found
}

// startAt is the draft that was left where no plan was built; where there is none, the patch that a
// search for any plan begins at.
func startAt(m *making) graph.Patch {
	if len(m.nearest.Parts()) > 0 {
		return m.nearest
	}
	return startOf(m)
}

// startOf is the patch that a search for any plan begins at.
func startOf(m *making) graph.Patch {
	if most, ok := likeOf(m); ok {
		return most
	}
	return problem.Start(m.problem)
}

// likeOf is a patch that gives most of what is asked; false where none is known.
func likeOf(m *making) (graph.Patch, bool) {
	if m.like == nil {
		return graph.Patch{}, false
	}
	d, err := m.problem.Numbered(*m.like)
	return d, err == nil
}

// askedIn are the wants and silences of a proof, in the order of the session.
func askedIn(t *problem.Problem, p *cut.Proof) []exact.Wish {
	texts := map[string]bool{}
	for _, d := range p.Demands {
		for _, w := range d.Wants {
			texts[problem.WantText(t.Session.Wants[w])] = true
		}
		if d.Normal != graph.None {
			addAskedAt(t, t.Normals[d.Normal], texts)
		}
	}
	return slices.DeleteFunc(exact.Wishes(t), func(w exact.Wish) bool { return !texts[w.Text] })
}

// addAskedAt adds what is asked at both ends of a normal that has to be broken.
func addAskedAt(t *problem.Problem, n graph.Normal, texts map[string]bool) {
	for _, j := range []int{n.A, n.B} {
		for _, in := range t.Nodes[t.Jacks[j].Node].Inputs {
			if t.Asks[in].Silent {
				texts[problem.SilenceText(t.Points[in])] = true
			}
			for _, w := range t.Asks[in].Wants {
				texts[problem.WantText(t.Session.Wants[w])] = true
			}
		}
	}
}

// leftOut is what is left out first: what costs most by itself, and of those the last
// line that need not be kept without interruption.
func (c counting) leftOut(asked []exact.Wish) exact.Wish {
	best, most := asked[len(asked)-1], -1.0
	for _, a := range slices.Backward(asked) {
		if cost := c.costOf(a); cost > most {
			best, most = a, cost
		}
	}
	return best
}

// costOf is what a want costs in the proof, if it is one of several of its source its
// share; little for a silence, and nothing for what must not be interrupted.
func (c counting) costOf(a exact.Wish) float64 {
	for _, d := range c.made.proof.Demands {
		for _, i := range d.Wants {
			if w := c.made.problem.Session.Wants[i]; problem.WantText(w) == a.Text {
				if w.Keep {
					return 0
				}
				return d.Cost / float64(len(d.Wants))
			}
		}
	}
	return 0.5
}

// missing says why one of some wants cannot be had together with the others, in a session
// without what is left out.
func (c counting) missing(drop exact.Wish, asked, without []exact.Wish) plan.Missing {
	missing := plan.Missing{Want: drop.Text, Key: drop.Key, Proof: plan.ByCounting, Shortage: shortageOf(c.made.problem, c.made.proof)}
	for _, w := range without {
		missing.Shortage.Without = append(missing.Shortage.Without, w.Text)
	}
	if c.made.proof.Demands[0].NoWay() && len(asked) == 1 {
		return because(missing, "", remedies(c).alone(drop))
	}
	others := slices.DeleteFunc(slices.Clone(asked), func(a exact.Wish) bool { return a == drop })
	missing.Because = scarceWords(c.made.problem, missing.Shortage, len(asked))
	if len(others) > 0 {
		missing.Because = plan.NotTogether(wishesWords(c.made.problem, others), missing.Because)
	}
	return missing
}
