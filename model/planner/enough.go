package planner

import (
	"math"
	"reflect"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// What would do is tried: so much more of what is scarce is added to the studio, and a plan
// looked for there. The least is said for which one is found.

// enough finds what would do for what a plan cannot give.
type enough struct{ made *making }

// lack is something of which more would do, with all that is missing for want of it.
type lack struct {
	scarce  scarce
	add     []plan.Addition
	missing []int
	// least is how many more it takes at least, enough is what was seen to do.
	least  int
	enough []plan.Addition
}

// sayWhatWouldDo adds to what cannot be had how many more of what would do, all that is
// missing for want of the same taken together. Where no number is found to do, it says
// that one more is needed at least.
func (e enough) sayWhatWouldDo(all []plan.Missing) {
	for _, l := range e.solved(all) {
		for _, i := range l.missing {
			one := &all[i]
			said := ""
			switch {
			case len(l.enough) > 0:
				if one.Enough = l.enough; l.takesMore() {
					one.Because = atLeast(one.Because)
				}
				said = e.enoughWords(len(l.missing), l.enough)
			case len(one.Enough) > 0: // it does by itself, and not beside the rest
				if one.Enough = nil; one.Because == "" {
					said = noPath
				}
			case l.scarce.what != "":
				said = e.needed(l)
			case one.Shortage != nil:
				said = "at least 1 more of these is needed"
			}
			switch {
			case one.Because == "":
				one.Because = said
			case said != "":
				one.Because = phrase.Put("{why}; {would}", "why", one.Because, "would", said)
			}
		}
	}
}

// takesMore says whether one more of what is scarce, for each that is counted to be lacking,
// was seen not to do, nor anything else.
func (l lack) takesMore() bool {
	return l.scarce.what != "" && l.scarce.what != plan.AddedMult && len(l.missing) == 1 &&
		!slices.ContainsFunc(l.enough, func(a plan.Addition) bool {
			return a.What != l.scarce.what || a.Count <= l.least || a.AtMost || len(a.And) > 0
		})
}

// solved are what is lacking, with what is enough of each. Where several things are, all
// together is one where that was seen to be enough.
func (e enough) solved(all []plan.Missing) []lack {
	lacks := e.lacks(all)
	for i := range lacks {
		lacks[i].enough = e.each(lacks[i], e.withOnly(all, lacks[i].missing))
	}
	if len(lacks) > 1 {
		if enough := e.inAll(all, lacks); len(enough) > 0 {
			return []lack{{enough: enough, missing: missingOf(lacks)}}
		}
	}
	for i := range lacks {
		if len(lacks[i].enough) == 0 {
			lacks[i].enough = e.withCords(all, lacks[i])
		}
	}
	return lacks
}

// withOnly is the session with some of what is missing, by number, and without the others.
func (e enough) withOnly(all []plan.Missing, some []int) *session.Session {
	return only(e.made.problem, func(text string) bool {
		at := slices.IndexFunc(all, func(o plan.Missing) bool { return o.Want == text })
		return at < 0 || slices.Contains(some, at)
	})
}

// missingOf is all that is missing for want of something.
func missingOf(lacks []lack) []int {
	var some []int
	for _, l := range lacks {
		some = append(some, l.missing...)
	}
	return some
}

// lacks are what more of would do, with what is missing for want of each.
func (e enough) lacks(all []plan.Missing) []lack {
	var lacks []lack
	for i, one := range all {
		l, ok := e.lackOf(one)
		if !ok {
			continue
		}
		at := slices.IndexFunc(lacks, func(o lack) bool { return o.isLike(l) })
		if at < 0 {
			at, lacks = len(lacks), append(lacks, lack{scarce: l.scarce, add: l.add})
		}
		lacks[at].add = longer(lacks[at].add, l.add)
		lacks[at].missing = append(lacks[at].missing, i)
		lacks[at].least += l.least
	}
	return lacks
}

// isLike says whether two want more of the same. Cords that are longer than any owned do
// the work of shorter ones.
func (l lack) isLike(o lack) bool {
	tried := l.scarce.what == "" && o.scarce.what == ""
	return slices.EqualFunc(l.add, o.add, func(a, b plan.Addition) bool {
		if a.Cord != nil && b.Cord != nil {
			kind := *a.Cord
			if tried {
				kind.Length = b.Cord.Length
			}
			return kind == *b.Cord
		}
		return a.What == b.What && slices.Equal(a.Of, b.Of)
	})
}

// longer are those of two like lists of additions that have the longer cords.
func longer(add, other []plan.Addition) []plan.Addition {
	for i, a := range add {
		if a.Cord != nil && other[i].Cord.Length > a.Cord.Length {
			return other
		}
	}
	return add
}

// lackOf is what is missing for something: what was tried for it already, or by what is
// scarce.
func (e enough) lackOf(one plan.Missing) (lack, bool) {
	if len(one.Enough) > 0 {
		return lack{add: one.Enough, least: one.Enough[0].Count}, true
	}
	of := e.lacking(one)
	if len(of) == 0 {
		return lack{}, false
	}
	l := lack{scarce: of[0], least: max(1, int(math.Ceil(one.Shortage.Need-one.Shortage.Have)))}
	for _, g := range of {
		if g.what == "" {
			continue
		}
		for _, a := range e.additions(g, one.Shortage) {
			if !slices.ContainsFunc(l.add, func(o plan.Addition) bool { return reflect.DeepEqual(o, a) }) {
				l.add = append(l.add, a)
			}
		}
	}
	if len(of) > 1 {
		l.scarce = scarce{} // none of these alone is needed
	}
	return l, len(l.add) > 0
}

// lacking are the things that are scarce, jacks and plugs too, of which nobody has more.
// Cords and dummies do each other's work: they are one.
func (e enough) lacking(one plan.Missing) []scarce {
	if one.Shortage == nil {
		return nil
	}
	of := slices.DeleteFunc(scarceOf(e.made.problem, one.Shortage), func(g scarce) bool { return g.own })
	cord := slices.IndexFunc(of, func(g scarce) bool { return g.what == plan.AddedCord })
	switch {
	case cord >= 0 && !slices.ContainsFunc(of, func(g scarce) bool { return g.what != plan.AddedCord && g.what != plan.AddedDummy }):
		return of[cord : cord+1]
	case len(of) == 0 && splits(one.Shortage):
		return []scarce{{what: plan.AddedMult}}
	}
	return of
}

// additions are what could be added. Where a plug that carries nothing is among what is
// asked, a dummy does as well as a cord; where outputs of a matrix lead to another bay, so
// does a tie.
func (e enough) additions(g scarce, s *plan.Shortage) []plan.Addition {
	add := []plan.Addition{e.addition(g, s)}
	switch g.what {
	case plan.AddedCord:
		if breaks(s) {
			add = append([]plan.Addition{{What: plan.AddedDummy}}, add...)
		}
	case plan.AddedOutput, plan.AddedInput:
		add = append(add, e.tieFor(s))
	case plan.AddedMult:
		add = e.mults(s)
	case plan.AddedDummy, plan.AddedTie:
	}
	return add
}

// enough are those of what could be added of which each by itself does for a session.
func (e enough) each(l lack, asked *session.Session) []plan.Addition {
	var all []plan.Addition
	for _, a := range l.add {
		if a = e.fewest(a, asked, l.least); a.Count > 0 {
			all = append(all, a)
		}
		if len(all) > 0 && a.What == plan.AddedMult {
			break // in one bay is enough
		}
	}
	return all
}

// anyMore is how many more than the least are tried.
const anyMore = 2

// fewest is an addition with how many do for a session, the least that is found; with none where
// none do. What one mult more does was counted by wants, so that fewer may do.
func (e enough) fewest(a plan.Addition, asked *session.Session, least int) plan.Addition {
	a.Count, a.AtMost = 0, false
	if a.What == "" || slices.Contains(a.Of, "") {
		return a
	}
	n := max(1, least)
	if a.What == plan.AddedMult {
		n = 1
	}
	given := func(n int) (is, unknown bool) {
		a.Count = n
		return e.givenWith(asked, a)
	}
	few, unknown := 0, false // how many do not, or it is not known
	is, open := given(n)
	if !is { // more never does harm: where the most does not, nothing between does
		few, unknown, n = n, open, max(n, least)+anyMore
		if is, _ = given(n); !is {
			return plan.Addition{}
		}
	}
	for n-1 > few {
		if is, open = given(n - 1); !is {
			unknown = open
			break
		}
		n--
	}
	a.Count, a.AtMost = n, unknown
	return a
}

// givenWith says whether a plan is found for a session with some additions; unknown, where the
// search came to no end.
func (e enough) givenWith(asked *session.Session, add ...plan.Addition) (is, unknown bool) {
	s := withOwned(e.made.problem)
	for _, a := range add {
		if s = withMore(s, a); s == nil {
			return false, false
		}
	}
	found := e.planIn(s, asked)
	return found.best != nil, found.best == nil && !found.impossible
}

// givenIn says whether a plan is found for a session in another studio with little work.
func (e enough) givenIn(s *studio.Studio, asked *session.Session) bool {
	return e.planIn(s, asked).best != nil
}

// planIn is any plan for a session in another studio, or that there is none, where either is found
// with little work.
func (e enough) planIn(s *studio.Studio, asked *session.Session) *making {
	o := problem.Options{Prefer: plan.PreferFewest, PastTies: e.made.problem.Options.PastTies}
	other, err := newMaking(e.made.ctx, heard.NewRoom(s), e.made.problem.From, asked, o)
	if err != nil {
		return &making{impossible: true}
	}
	other.like, other.unexplained = e.made.like, true
	other.findQuickly(shortCount, sooner)
	return other
}
