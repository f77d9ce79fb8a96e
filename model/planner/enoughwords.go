package planner

import (
	"strconv"
	"strings"

	"bayhand/model/phrase"
	"bayhand/model/plan"
)

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
	for _, one := range a.And {
		more = phrase.Put("{more}, and {others}", "more", more, "others", e.moreWords(one))
	}
	return more
}

// needed says that one more of what is scarce is needed at least.
func (e enough) needed(l lack) string {
	return phrase.Put("at least 1 more {thing} is needed", "thing", l.scarce.noun(e.made.problem, 1))
}
