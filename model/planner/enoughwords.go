package planner

import (
	"slices"
	"strconv"
	"strings"

	"bayhand/model/phrase"
	"bayhand/model/plan"
)

// atLeast is a reason that counts what some wants take, where they take more than counting
// says.
func atLeast(reason string) string {
	for _, takes := range []string{"together they take ", "it takes "} {
		before, after, found := strings.Cut(reason, takes)
		if found && after != "" && after[0] >= '0' && after[0] <= '9' && (before == "" || strings.HasSuffix(before, ": ")) {
			return before + phrase.Put("{takes} at least {things}", "takes", strings.TrimSpace(takes), "things", after)
		}
	}
	return reason
}

// enoughWords say what would do for so many things that are missing.
func (e enough) enoughWords(missing int, enough []plan.Addition) string {
	var either []string
	for _, a := range enough {
		either = append(either, e.moreWords(a))
	}
	with := strings.Join(either, " or ")
	switch missing {
	case 1:
		return phrase.Put("it would be possible with {either}", "either", with)
	case 2:
		return phrase.Put("both would be possible with {either}", "either", with)
	}
	return phrase.Put("all {n} would be possible with {either}", "n", strconv.Itoa(missing), "either", with)
}

// moreWords are an addition: "1 more tie between main and far".
func (e enough) moreWords(a plan.Addition) string {
	kind := func(cords string) string {
		owned := ownedCords(e.made.problem)
		said := describe(owned, []*plan.OwnedCord{a.Cord}).words(cords)
		if all(owned, func(o *plan.OwnedCord) bool { return o.Length < a.Cord.Length }) {
			length := a.Cord.Length.String()
			return strings.Replace(said, length, phrase.Put("at least {length}", "length", length), 1)
		}
		return said
	}
	things := addedNoun(e.made.problem, a.What, a.Of, kind, a.Count)
	more := phrase.Put("{n} more {things}", "n", strconv.Itoa(a.Count), "things", things)
	if a.AtMost {
		more = phrase.Put("at most {n} more {things}", "n", strconv.Itoa(a.Count), "things", things)
	}
	for _, one := range a.And {
		more = phrase.Put("{more}, and {others}", "more", more, "others", e.moreWords(one))
	}
	return more
}

// needed says that one more of what is scarce is needed at least.
func (e enough) needed(l lack) string {
	thing := l.scarce.noun(e.made.problem, 1)
	if slices.ContainsFunc(l.add, func(a plan.Addition) bool { return a.What == plan.AddedDummy }) && l.scarce.what == plan.AddedCord {
		thing = l.scarce.orDummies(e.made.problem, 1)
	}
	return phrase.Put("at least 1 more {thing} is needed", "thing", thing)
}
