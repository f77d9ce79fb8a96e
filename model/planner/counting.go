package planner

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/cut"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
	"bayhand/model/studio"
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
		m.proof, m.counted = cut.Find(m.problem, work), work
	}
	m.impossible = m.proof != nil
	return m.impossible
}

// counting explains a proof by counting.
type counting struct{ made *making }

// explainByCounting leaves wants and silences out, one after the other, until there is a
// plan for the rest. What stands in the way of the rest and no counting proves is
// explained by trying.
func (m *making) explainByCounting() *plan.Plan {
	p := cannot(m.problem, []plan.Missing{})
	rest := m
	for rest.proof != nil {
		asked := askedIn(rest.problem, rest.proof)
		if len(asked) == 0 {
			break
		}
		drop := counting{rest}.leftOut(asked)
		m.dropped = append(m.dropped, drop)
		p.Missing = append(p.Missing, counting{rest}.missing(drop, asked))
		less, err := rest.goOnWithout(drop)
		if err != nil {
			break
		}
		rest = less
	}
	if rest.best == nil && rest.impossible {
		counting{m}.sayHowManyMore(p.Missing)
		dropped, missing := rest.tried()
		m.dropped, p.Missing = append(m.dropped, dropped...), append(p.Missing, missing...)
		return p
	}
	if fewer := m.fewerLeftOut(); fewer != nil {
		m.dropped, p.Missing = fewer, m.explainEach(fewer)
	}
	counting{m}.sayHowManyMore(p.Missing)
	return p
}

// goOnWithout plans the session without something; it does not explain.
func (m *making) goOnWithout(drop exact.Wish) (*making, error) {
	less, err := newMaking(m.ctx, m.problem.Room, m.problem.From, only(m.problem, func(text string) bool { return text != drop.Text }), m.problem.Options)
	if err != nil {
		return nil, err
	}
	less.problem.Options.Progress = nil
	less.findQuickly(quickly)
	return less, nil
}

// quickly is the work that an exact search may take to find any plan at all, in looks.
const quickly = 20e6

// findQuickly finds any plan, or a proof that there is none, with so much work for an exact
// search.
func (m *making) findQuickly(work int64) {
	if m.provedByCounting(shortCount) {
		return
	}
	if m.route(); m.best == nil && !m.provedByCounting(longCount) {
		found := exact.Find(m.ctx, m.problem, nil, 0, work)
		m.best, m.impossible = found.Best, found.Impossible
	}
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

// missing says why one of some wants cannot be had together with the others.
func (c counting) missing(drop exact.Wish, asked []exact.Wish) plan.Missing {
	missing := plan.Missing{Want: drop.Text, Key: drop.Key, Proof: plan.ByCounting, Shortage: shortageOf(c.made.problem, c.made.proof)}
	if c.made.proof.Demands[0].NoWay() && len(asked) == 1 {
		missing.Because = c.made.alone(drop)
		return missing
	}
	missing.Because = scarceWords(c.made.problem, c.made.proof)
	others := slices.DeleteFunc(slices.Clone(asked), func(a exact.Wish) bool { return a == drop })
	if len(others) > 0 {
		missing.Because = phrase.Put("it is not possible together with {others}: {shortage}", "others", join(others), "shortage", missing.Because)
	}
	return missing
}

// sayHowManyMore adds to what cannot be had how many more of what is scarce would do: the
// fewest that a plan is found with. Where none is found, it says how many are missing at
// least.
func (c counting) sayHowManyMore(all []plan.Missing) {
	keys, most := make([]string, len(all)), map[string]int{}
	for i, one := range all {
		g := c.scarce(one)
		if keys[i] = g.key; g.key != "" {
			most[g.key] += max(1, int(math.Ceil(one.Shortage.Need-one.Shortage.Have)))
		}
	}
	for i, one := range all {
		if keys[i] == "" {
			continue
		}
		if first := slices.Index(keys, keys[i]); first < i {
			all[i].Because += "; " + afterLast(all[first].Because)
			continue
		}
		kept := func(text string) bool {
			at := slices.IndexFunc(all, func(o plan.Missing) bool { return o.Want == text })
			return at < 0 || keys[at] == keys[i]
		}
		all[i].Because += "; " + c.more(c.scarce(one), one.Shortage, only(c.made.problem, kept), most[keys[i]])
	}
}

// afterLast is what stands after the last semicolon.
func afterLast(text string) string { return text[strings.LastIndex(text, "; ")+2:] }

// more says how many more would do for a session, of most at most. Where a plug that
// carries nothing is among what is asked, a dummy does as well as a cord.
func (c counting) more(g scarce, s *plan.Shortage, asked *session.Session, most int) string {
	sorts := []scarce{g}
	if g.key == "cord" && slices.ContainsFunc(s.Takes, func(t plan.Taking) bool { return len(t.Break) > 0 }) {
		sorts = []scarce{dummyScarce, g}
	}
	var would []string
	for _, g := range sorts {
		if n := c.fewestMore(g, s, asked, most); n > 0 {
			would = append(would, g.more(n))
		}
	}
	if len(would) == 0 {
		return fmt.Sprintf("at least %s is needed", g.more(1))
	}
	return phrase.Put("it would be possible with {either}", "either", strings.Join(would, " or "))
}

// fewestMore is how many more do, of most at most; 0 where none are seen to. What one mult
// more does was counted by wants, so that fewer may do.
func (c counting) fewestMore(g scarce, s *plan.Shortage, asked *session.Session, most int) int {
	least := most
	if g.key == multScarce.key {
		least = 1
	}
	found := 0
	for n := most; n >= least; n-- {
		other := c.withMore(g, s, n)
		if other == nil || !c.givenIn(other, asked) {
			break
		}
		found = n
	}
	return found
}

// givenIn says whether a plan is found for a session in another studio with little work.
func (c counting) givenIn(s *studio.Studio, asked *session.Session) bool {
	other, err := newMaking(c.made.ctx, heard.NewRoom(s), c.made.problem.From, asked, problem.Options{Prefer: plan.PreferFewest})
	if err != nil || other.provedByCounting(shortCount) {
		return false
	}
	if other.route(); other.best == nil && !other.impossible {
		other.best = exact.Find(c.made.ctx, other.problem, nil, 0, quickly/4).Best
	}
	return other.best != nil
}

// scarce is the one thing that is scarce and can be bought or built; its key is empty
// where there is none, or several. Cords and dummies do each other's work.
func (c counting) scarce(one plan.Missing) scarce {
	if one.Shortage == nil {
		return scarce{}
	}
	of := slices.DeleteFunc(scarceOf(c.made.problem, one.Shortage), func(g scarce) bool { return g.own })
	switch {
	case len(of) == 1:
		return of[0]
	case len(of) > 1 && !slices.ContainsFunc(of, func(g scarce) bool { return g.key != "cord" && g.key != "dummy" }):
		return of[slices.IndexFunc(of, func(g scarce) bool { return g.key == "cord" })]
	case len(of) == 0 && splits(one.Shortage):
		return multScarce
	}
	return scarce{}
}
