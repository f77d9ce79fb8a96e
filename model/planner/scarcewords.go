package planner

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
)

// owner is what is printed on a bay, a matrix or gear: its label, or its name.
func owner(t *problem.Problem, called string) string {
	label := ""
	if b := t.Studio.BayNamed(called); b != nil {
		label = b.Label
	} else if m := t.Studio.MatrixNamed(called); m != nil {
		label = m.Label
	} else if g := t.Studio.GearNamed(called); g != nil {
		label = g.Label
	}
	if label == "" {
		return called
	}
	return label
}

// noun is what a sort is called, for so many of it.
func (s scarce) noun(t *problem.Problem, n int) string {
	if s.what == "" {
		at := strings.Join(name.Fold(s.at), ", ")
		if s.plug {
			return phrase.Count(n, "plug in {jack}", "plugs in {jack}", "jack", at)
		}
		return phrase.Count(n, "jack {jack}", "jacks at {jack}", "jack", at)
	}
	return addedNoun(t, s.what, s.of, func(cords string) string { return kindsWords(t, s.cords, cords) }, n)
}

// addedNoun is what something is called that can be added, for so many of it; kind says
// of which kind cords are.
func addedNoun(t *problem.Problem, what plan.AddedKind, of []string, kind func(string) string, n int) string {
	switch what {
	case plan.AddedCord:
		return kind(word(n, "cord", "cords"))
	case plan.AddedDummy:
		return word(n, "dummy", "dummies")
	case plan.AddedMult:
		if len(of) == 0 || len(t.Studio.Bays) < 2 {
			return word(n, "mult", "mults")
		}
		return phrase.Count(n, "mult in {bay}", "mults in {bay}", "bay", owner(t, of[0]))
	case plan.AddedTie:
		if of[0] == of[1] {
			return phrase.Count(n, "tie within {bay}", "ties within {bay}", "bay", owner(t, of[0]))
		}
		return phrase.Count(n, "tie between {bay} and {other}", "ties between {bay} and {other}", "bay", owner(t, of[0]), "other", owner(t, of[1]))
	case plan.AddedOutput:
		return phrase.Count(n, "output of {matrix}", "outputs of {matrix}", "matrix", owner(t, of[0]))
	case plan.AddedInput:
		return phrase.Count(n, "input of {matrix}", "inputs of {matrix}", "matrix", owner(t, of[0]))
	}
	return ""
}

// part is one sort among others, of which there is so much.
func (s scarce) part(t *problem.Problem) string {
	if s.what == "" {
		return phrase.Count(len(s.at), "jack {jacks}", "jacks {jacks}", "jacks", strings.Join(name.Fold(s.at), ", "))
	}
	return phrase.Put("{n} {things}", "n", strconv.Itoa(s.count), "things", s.beside(t, s.count))
}

// orDummies are cords where dummies do as well, for so many of both.
func (s scarce) orDummies(t *problem.Problem, n int) string {
	return phrase.Count(n, "{cord} or dummy", "{cord} or dummies", "cord", s.beside(t, n))
}

// beside is what a sort is called beside others, for so many of it: cords of any kind are
// no more than cords.
func (s scarce) beside(t *problem.Problem, n int) string {
	if s.what == plan.AddedCord && all(ownedCords(t), func(o *plan.OwnedCord) bool { return isAmong(o, s.cords) }) {
		return word(n, "cord", "cords")
	}
	return s.noun(t, n)
}

// counted is so many of it.
func (s scarce) counted(t *problem.Problem, n int) string {
	return phrase.Put("{n} {things}", "n", strconv.Itoa(n), "things", s.noun(t, n))
}

// manyPlaces is how many mults or runs of jacks are still worth their names.
const manyPlaces = 3

// places are the names by which a person finds what there is; empty for cords and dummies,
// and for too many to be read.
func (s scarce) places() string {
	if s.what == "" || len(s.at) == 0 {
		return ""
	}
	runs := topFirst(s.at)
	if len(runs) > manyPlaces {
		return ""
	}
	return strings.Join(runs, ", ")
}

// topFirst are points in runs, of each bay the top row first.
func topFirst(at []name.Point) []string {
	at = slices.Clone(at)
	slices.SortFunc(at, func(a, b name.Point) int {
		return cmp.Or(strings.Compare(a.Owner, b.Owner), strings.Compare(b.Stem, a.Stem), a.Compare(b)) // t before b
	})
	return name.Fold(at)
}

// scarceWords say what is scarce: how many so many wants take, and how many there are. The
// jack of a source that has to be split takes one plug in any case, and is not counted.
func scarceWords(t *problem.Problem, s *plan.Shortage, wants int) string {
	own, whole := 0, true
	var others []scarce
	for _, g := range scarceOf(t, s) {
		whole = whole && g.price == 1
		if g.own {
			own += g.count
			continue
		}
		others = append(others, g)
	}
	need, have := int(s.Need)-own, int(s.Have)-own
	switch {
	case len(others) == 0:
		return noneWords(s)
	case whole && len(others) == 1:
		return oneSortWords(t, s, others[0], wants, need, have)
	}
	var parts []string
	elsewhere := 0
	for _, g := range atAnyPrice(others) {
		parts = append(parts, g.part(t))
		elsewhere += g.elsewhere
	}
	if whole {
		return phrase.Put("{take} {need} {things}, and {there}: {parts}", "take", take(wants),
			"need", strconv.Itoa(need), "things", nouns(t, others), "there", there(have, elsewhere), "parts", strings.Join(parts, ", "))
	}
	return phrase.Put("{take} more than there is: {parts}", "take", take(wants), "parts", strings.Join(parts, ", "))
}

// atAnyPrice are sorts with those in one that differ by their price alone.
func atAnyPrice(sorts []scarce) []scarce {
	var all []scarce
	for _, g := range sorts {
		g.price = 1
		all = addSort(all, g)
	}
	return all
}

// take begins a sentence of what one want takes, or several together.
func take(wants int) string { return word(wants, "it takes", "together they take") }

// there says how many there are, or are left where sessions in other rooms have some.
func there(have, elsewhere int) string {
	all := strconv.Itoa(have + elsewhere)
	switch {
	case have == 0 && elsewhere == 0:
		return "there is none"
	case elsewhere == 0:
		return phrase.Count(have, "there is 1", "there are {n}")
	case have == 0:
		return phrase.Put("none of {all} is left", "all", all)
	}
	return phrase.Count(have, "1 of {all} is left", "{n} of {all} are left", "all", all)
}

// nouns are what several sorts are called: "cords and dummies".
func nouns(t *problem.Problem, sorts []scarce) string {
	var all []string
	for _, g := range sorts {
		all = append(all, g.beside(t, 0))
	}
	last := len(all) - 1
	return phrase.Put("{things} and {last}", "things", strings.Join(all[:last], ", "), "last", all[last])
}

// oneSortWords say it of one sort.
func oneSortWords(t *problem.Problem, s *plan.Shortage, g scarce, wants, need, have int) string {
	takes, left := take(wants), there(have, g.elsewhere)
	if g.what == plan.AddedCord && breaks(s) {
		return phrase.Put("{take} {things}, and {there}", "take", takes, "things", phrase.Put("{n} {things}", "n", strconv.Itoa(need), "things", g.orDummies(t, need)), "there", left)
	}
	if at := g.places(); at != "" && have > 0 {
		return phrase.Put("{take} {things}, and {there} ({places})", "take", takes, "things", g.counted(t, need), "there", left, "places", at)
	}
	return phrase.Put("{take} {things}, and {there}", "take", takes, "things", g.counted(t, need), "there", left)
}

// noneWords say it where nothing is scarce but the jacks of what is asked.
func noneWords(s *plan.Shortage) string {
	switch {
	case !splits(s):
		return noPath
	case len(s.Takes) == 1:
		return phrase.Put("{source} has to be split for them, and a mult is missing", "source", s.Takes[0].Source.String())
	}
	return "their sources have to be split, and a mult is missing"
}
