package planner

import (
	"context"
	"fmt"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// alone says why a want cannot be had even by itself.
func (t *task) alone(ctx context.Context, a wish) string {
	for _, w := range t.session.Wants {
		if wantText(w) != a.text {
			continue
		}
		at, s := t.Node[t.Number[w.Destination]], t.SourceOf[w.Source]
		if other := t.wiredTo(at, s); other != "" {
			return w.Destination.String() + " is wired to " + other + " for good; no plug parts them"
		}
		for _, p := range []name.Point{w.Source, w.Destination} {
			if t.shutOff(t.Node[t.Number[p]]) {
				return p.String() + " comes to no jack, no matrix and no free port; wire it to one"
			}
		}
	}
	if r := t.remedy(ctx, []wish{a}); r != "" {
		return r
	}
	return "there is no way for it in this studio"
}

// wiredTo is another source that always drives a node.
func (t *task) wiredTo(n, source int) string {
	for _, s := range t.Nodes[n].Sources {
		if s != source {
			return t.Points[t.Sources[s]].String()
		}
	}
	return ""
}

// shutOff says whether nothing can be joined to a node.
func (t *task) shutOff(n int) bool {
	at := t.Nodes[n]
	return len(at.Jacks)+len(at.Ports)+len(at.Ins)+len(at.Outputs) == 0
}

// remedy says what would make it possible to have all of some wants and silences:
// more dummies, more or longer cords, a jack that is mended. It is empty where
// none of these would, or it takes too long to find out.
func (t *task) remedy(ctx context.Context, asks []wish) string {
	less := t.only(asks)
	for _, r := range []struct {
		change func(s *studio.Studio)
		say    func(p *plan.Plan) string
	}{
		{func(s *studio.Studio) { s.Dummies = -1 }, t.lacksDummies},
		{func(s *studio.Studio) { s.Stock = studio.Stock{Unlimited: true, Slack: s.Stock.Slack} }, t.lacksCords},
		{func(s *studio.Studio) { s.Faulty, s.FaultyNormals = nil, nil }, t.lacksMending},
	} {
		other := *t.Studio
		r.change(&other)
		p, err := find(ctx, heard.NewRoom(&other), t.from, less, options{Prefer: plan.PreferFewest, Effort: remedyEffort, unexplained: true})
		if err == nil && p.Given {
			return r.say(p)
		}
	}
	return ""
}

// remedyEffort bounds the search for one remedy, in millions.
const remedyEffort = 20

// only is the session with some of its wants and silences.
func (t *task) only(asks []wish) *session.Session {
	has := func(text string) bool {
		return slices.ContainsFunc(asks, func(a wish) bool { return a.text == text })
	}
	less := *t.session
	less.Patch = nil
	less.Wants = slices.DeleteFunc(slices.Clone(less.Wants), func(w session.Want) bool { return !has(wantText(w)) })
	less.Silent = slices.DeleteFunc(slices.Clone(less.Silent), func(p name.Point) bool { return !has("silence at " + p.String()) })
	return &less
}

func (t *task) lacksDummies(p *plan.Plan) string {
	needed, owned := len(p.Target.Dummies), max(0, t.Studio.Dummies)
	return fmt.Sprintf("it could with %d %s, and %d %s owned", needed, word(needed, "dummy", "dummies"), owned, word(owned, "is", "are"))
}

// lacksCords names a cord that none owned is long enough for, or counts.
func (t *task) lacksCords(p *plan.Plan) string {
	for _, c := range p.Target.Cords {
		if c.B.IsZero() || t.stock.reach.any(t.JackOf[c.A], t.JackOf[c.B]) {
			continue
		}
		need := t.stock.reach.need(t.JackOf[c.A], t.JackOf[c.B])
		if longest := t.longest(c.A, c.B); longest > 0 {
			return fmt.Sprintf("it could with a cord of %s from %s to %s; the longest owned that fits there is %s", need, c.A, c.B, longest)
		}
		return fmt.Sprintf("it could with a cord of %s from %s to %s, and none owned has the plugs for these jacks", need, c.A, c.B)
	}
	owned := 0
	for _, n := range t.stock.counts {
		owned += n
	}
	return fmt.Sprintf("it could with %d cords that reach, and %d %s owned", len(p.Target.Cords), owned, word(owned, "is", "are"))
}

// word is the word for one or for another number.
func word(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// longest is the longest cord owned whose plugs fit two jacks; 0 for none.
func (t *task) longest(a, b name.Point) measure.Length {
	var longest measure.Length
	for _, k := range t.stock.reach.kinds {
		if layout.Fits(k.Ends, t.Jacks[t.JackOf[a]].Kind, t.Jacks[t.JackOf[b]].Kind) {
			longest = max(longest, k.Length)
		}
	}
	return longest
}

// lacksMending names what is tagged faulty on the way.
func (t *task) lacksMending(p *plan.Plan) string {
	for _, c := range p.Target.Cords {
		for _, e := range c.Ends() {
			if slices.Contains(t.Studio.Faulty, e) {
				return "it could if " + e.String() + " were not faulty"
			}
		}
	}
	return "it could if nothing were tagged faulty"
}
