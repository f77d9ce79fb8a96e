package planner

import (
	"slices"

	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// moreCords says of which cords there are too few, or none that reaches: by what a plan
// takes that has as many of any kind as it wants.
func (m remedies) moreCords(asked *session.Session) remedy {
	p := m.planWith(asked, func(s *studio.Studio) { s.Stock = studio.Stock{Unlimited: true, Slack: s.Stock.Slack} })
	switch {
	case p == nil:
		return remedy{}
	case !slices.ContainsFunc(m.made.problem.Stock.Counts, func(n int) bool { return n > 0 }):
		return m.firstCords(asked, p)
	case len(m.tooFar(p)) > 0:
		return m.longerCords(asked, m.tooFar(p))
	}
	return m.moreOfKind(asked, p)
}

// tooFar are the cords of a plan that none owned is long enough for or has the plugs for.
func (m remedies) tooFar(p *patch.Patch) []patch.Cord {
	t := m.made.problem
	return slices.DeleteFunc(slices.Clone(p.Cords), func(c patch.Cord) bool {
		return c.B.IsZero() || t.Stock.Any(t.JackOf[c.A], t.JackOf[c.B])
	})
}

// longerCords are cords for the longest way of those that none owned goes, or a tie.
func (m remedies) longerCords(asked *session.Session, far []patch.Cord) remedy {
	t := m.made.problem
	longest := far[0]
	needs := func(c patch.Cord) measure.Length { // in whole centimetres, as one buys them
		return (t.Stock.NeedOf(t.Ends(c)) + measure.Centimetre - 1) / measure.Centimetre * measure.Centimetre
	}
	for _, c := range far {
		if needs(c) > needs(longest) {
			longest = c
		}
	}
	a, b := t.JackOf[longest.A], t.JackOf[longest.B]
	from, to := longest.A.String(), longest.B.String()
	if longest.A.Owner != longest.B.Owner {
		from, to = owner(t, longest.A.Owner), owner(t, longest.B.Owner)
	}
	kind := &plan.OwnedCord{Length: needs(longest), Ends: [2]string{t.Jacks[a].Kind.String(), t.Jacks[b].Kind.String()}}
	why := phrase.Put("no cord owned has the plugs to go from {jack} to {other}", "jack", from, "other", to)
	if used := m.elsewhere(longest); used != nil {
		kind = used
		why = phrase.Put("no cord is left that goes from {jack} to {other}", "jack", from, "other", to)
	} else if owned := t.Stock.Longest(a, b); owned > 0 {
		why = phrase.Put("no cord owned reaches from {jack} to {other}: the longest that fits there is {owned}, and it takes {length}",
			"jack", from, "other", to, "owned", owned.String(), "length", needs(longest).String())
	}
	var all []plan.Addition
	for _, add := range []plan.Addition{{What: plan.AddedCord, Cord: kind}, m.tieOf(asked)} {
		if add = m.enough().fewest(add, asked, len(far)); add.Count > 0 {
			all = append(all, add)
		}
	}
	return remedy{said: why, enough: all}
}

// moreOfKind counts the cords of a plan of which too few are owned: all of them, or those of
// some kinds, which it names.
func (m remedies) moreOfKind(asked *session.Session, p *patch.Patch) remedy {
	t := m.made.problem
	var cords [][2]int
	for _, c := range p.Cords {
		cords = append(cords, t.Ends(c))
	}
	short := t.Stock.Shortage(cords)
	var kinds []*plan.OwnedCord
	owned := 0
	for k, count := range t.Stock.Counts {
		if count > 0 && (short == nil || short[k]) {
			kinds, owned = append(kinds, ownedCord(t, k)), owned+count
		}
	}
	needed := len(slices.DeleteFunc(cords, func(c [2]int) bool { return short != nil && goesElse(t, c, short) }))
	if len(kinds) == 0 {
		return m.firstCords(asked, p) // none hangs from such a jack
	}
	enough := m.with(plan.Addition{What: plan.AddedCord, Cord: toBuy(kinds)}, asked, needed-owned).enough
	if len(enough) > 0 {
		needed = min(needed, owned+enough[0].Count) // the plan took more than it has to
	}
	return remedy{said: m.takesCords(asked, kinds, needed, owned), enough: enough}
}

// takesCords says how many cords of some kinds it takes, and how many there are.
func (m remedies) takesCords(asked *session.Session, kinds []*plan.OwnedCord, needed, owned int) string {
	t, used := m.made.problem, 0
	for _, k := range kinds {
		used += elsewhere(t, *k)
	}
	return phrase.Put("{take} {cords}, and {there}", "take", take(len(asked.Wants)+len(asked.Silent)),
		"cords", scarce{what: plan.AddedCord, cords: kinds}.counted(t, needed), "there", there(owned, used))
}

// firstCords are those that it takes where there are none.
func (m remedies) firstCords(asked *session.Session, p *patch.Patch) remedy {
	cords := slices.DeleteFunc(slices.Clone(p.Cords), func(c patch.Cord) bool { return c.B.IsZero() })
	if len(cords) == 0 {
		return remedy{}
	}
	r := m.longerCords(asked, cords)
	r.said = m.takesCords(asked, ownedCords(m.made.problem), len(p.Cords), 0)
	return r
}

// elsewhere is a kind of cord that sessions in other rooms have and that would go where a
// cord of a plan goes; nil for none.
func (m remedies) elsewhere(c patch.Cord) *plan.OwnedCord {
	t := m.made.problem
	for _, k := range t.Options.Elsewhere.Cords {
		if k.Length >= t.Stock.NeedOf(t.Ends(c)) && layout.Fits(k.Ends, t.Jacks[t.JackOf[c.A]].Kind, t.Jacks[t.JackOf[c.B]].Kind) {
			kind := kindOf(k)
			kind.Colour = ""
			return &kind
		}
	}
	return nil
}

// goesElse says whether a kind that is not short would do for a cord.
func goesElse(t *problem.Problem, c [2]int, short []bool) bool {
	for k, count := range t.Stock.Counts {
		if !short[k] && count > 0 && t.Stock.Goes(k, c) {
			return true
		}
	}
	return false
}
