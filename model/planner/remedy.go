package planner

import (
	"fmt"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// alone says why a want cannot be had even by itself.
func (m *making) alone(a exact.Wish) string {
	t := m.problem
	for _, w := range t.Session.Wants {
		if problem.WantText(w) != a.Text {
			continue
		}
		at, s := t.Node[t.Number[w.Destination]], t.SourceOf[w.Source]
		if other := wiredTo(t, at, s); other != "" {
			return phrase.Put("{destination} is wired to {other} for good; no plug parts them", "destination", w.Destination.String(), "other", other)
		}
		for _, p := range []name.Point{w.Source, w.Destination} {
			if shutOff(t, t.Node[t.Number[p]]) {
				return phrase.Put("{port} comes to no jack, no matrix and no free port; wire it to one", "port", p.String())
			}
		}
	}
	if r := m.remedy([]exact.Wish{a}); r != "" {
		return r
	}
	return "there is no path for it in this studio"
}

// wiredTo is another source that always drives a node.
func wiredTo(t *problem.Problem, n, source int) string {
	for _, s := range t.Nodes[n].Sources {
		if s != source {
			return t.Points[t.Sources[s]].String()
		}
	}
	return ""
}

// shutOff says whether nothing can be joined to a node.
func shutOff(t *problem.Problem, n int) bool {
	at := t.Nodes[n]
	return len(at.Jacks)+len(at.Ports)+len(at.Ins)+len(at.Outputs) == 0
}

// remedy says what would make it possible to have all of some wants and silences:
// more dummies, more or longer cords, a jack that is mended, a mult. It is empty where
// none of these would, or it takes too long to find out.
func (m *making) remedy(asks []exact.Wish) string {
	t := m.problem
	less := only(t, func(text string) bool {
		return slices.ContainsFunc(asks, func(w exact.Wish) bool { return w.Text == text })
	})
	less.Patch = nil
	for _, r := range []struct {
		change func(s *studio.Studio)
		say    func(t *problem.Problem, p *plan.Plan) string
	}{
		{func(s *studio.Studio) { s.Dummies = -1 }, lacksDummies},
		{func(s *studio.Studio) { s.Stock = studio.Stock{Unlimited: true, Slack: s.Stock.Slack} }, lacksCords},
		{t.Options.Mend, lacksMending},
		{addMult, lacksMult},
	} {
		other := *t.Studio
		r.change(&other)
		if p := m.withOther(&other, less); p != nil {
			return r.say(t, p)
		}
	}
	return ""
}

// withOther is a plan for a session in another studio; nil where none was found.
func (m *making) withOther(s *studio.Studio, asked *session.Session) *plan.Plan {
	other, err := newMaking(m.ctx, heard.NewRoom(s), m.problem.From, asked, problem.Options{Prefer: plan.PreferFewest, Effort: remedyEffort})
	if err != nil {
		return nil
	}
	other.unexplained = true
	p, err := other.find()
	if err != nil || !p.Given {
		return nil
	}
	return p
}

// remedyEffort bounds the search for one remedy, in millions.
const remedyEffort = 20

func lacksDummies(t *problem.Problem, p *plan.Plan) string {
	needed, owned := len(p.Target.Dummies), max(0, t.Studio.Dummies)
	return fmt.Sprintf("it would be possible with %d %s, and %d %s owned", needed, word(needed, "dummy", "dummies"), owned, word(owned, "is", "are"))
}

// lacksCords names a cord that none owned is long enough for, or counts.
func lacksCords(t *problem.Problem, p *plan.Plan) string {
	for _, c := range p.Target.Cords {
		if c.B.IsZero() || t.Stock.Any(t.JackOf[c.A], t.JackOf[c.B]) {
			continue
		}
		need := t.Stock.Need(t.JackOf[c.A], t.JackOf[c.B])
		if longest := t.Stock.Longest(t.JackOf[c.A], t.JackOf[c.B]); longest > 0 {
			return fmt.Sprintf("it would be possible with a cord of %s from %s to %s; the longest owned that fits there is %s", need, c.A, c.B, longest)
		}
		return fmt.Sprintf("it would be possible with a cord of %s from %s to %s, and none owned has the plugs for these jacks", need, c.A, c.B)
	}
	return lacksKind(t, p)
}

// word is the word for one or for another number.
func word(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// lacksMending names what is tagged faulty on the way.
func lacksMending(t *problem.Problem, p *plan.Plan) string {
	for _, c := range p.Target.Cords {
		for _, e := range c.Ends() {
			if slices.Contains(t.Studio.Faulty, e) {
				return phrase.Put("it would be possible if {jack} were not faulty", "jack", e.String())
			}
		}
	}
	return "it would be possible if nothing were tagged faulty"
}
