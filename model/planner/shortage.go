package planner

import (
	"fmt"
	"slices"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
	"bayhand/model/studio"
)

// lacksKind counts the cords of a plan of which too few are owned: all of them, or
// those of some kinds, which it names.
func lacksKind(t *problem.Problem, p *plan.Plan) string {
	var cords [][2]int
	for _, c := range p.Target.Cords {
		cords = append(cords, t.Ends(c))
	}
	short := t.Stock.Shortage(cords)
	owned, others := 0, false
	for k, count := range t.Stock.Counts {
		if short == nil || short[k] {
			owned += count
		} else {
			others = others || count > 0
		}
	}
	have := phrase.Count(owned, "1 is owned", "{n} are owned")
	switch {
	case !others && len(ownedCords(t)) > 1:
		return phrase.Count(len(cords), "it would be possible with 1 cord of any kind that reaches, and {owned}", "it would be possible with {n} cords of any kind that reach, and {owned}", "owned", have)
	case !others:
		return phrase.Count(len(cords), "it would be possible with 1 cord that reaches, and {owned}", "it would be possible with {n} cords that reach, and {owned}", "owned", have)
	}
	needed := slices.DeleteFunc(slices.Clone(cords), func(c [2]int) bool { return goesElse(t, c, short) })
	return phrase.Put("it would be possible with {cords}, and {owned}", "cords", kindOf(t, needed), "owned", have)
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

// kindOf counts cords, with what they have in common that is worth a word: the least length
// of all, and the plugs.
func kindOf(t *problem.Problem, cords [][2]int) string {
	least := t.Stock.NeedOf(cords[0])
	plugs := plugsOf(t, cords[0])
	for _, c := range cords {
		least = min(least, t.Stock.NeedOf(c))
		if plugsOf(t, c) != plugs {
			plugs = ""
		}
	}
	counted := phrase.Count(len(cords), "1 cord", "{n} cords")
	switch long := least > measure.Centimetre; {
	case long && plugs == "":
		return phrase.Put("{cords} of {length} or more", "cords", counted, "length", least.String())
	case plugs == "":
		return phrase.Put("{cords} of the kinds that reach", "cords", counted)
	case long:
		counted = phrase.Put("{cords} of {length} or more", "cords", counted, "length", least.String())
	}
	return phrase.Put("{cords} {plugs}", "cords", counted, "plugs", plugs)
}

// plugsOf names the plugs that a cord needs; nothing where a jack's kind is not known.
func plugsOf(t *problem.Problem, c [2]int) string {
	if c[1] < 0 {
		return ""
	}
	a, b := t.Jacks[c[0]].Kind, t.Jacks[c[1]].Kind
	if a > b {
		a, b = b, a
	}
	switch {
	case a == studio.JackUnknown:
		return ""
	case a == b:
		return phrase.Put("with {kind} plugs", "kind", a.String())
	}
	return phrase.Put("from {kind} to {other}", "kind", a.String(), "other", b.String())
}

// spare is a bay that no file can name.
const spare = "Spare"

// addMult gives a studio a mult of four jacks, and cords to it.
func addMult(s *studio.Studio) {
	bay := studio.Bay{Name: spare, Modes: []studio.Mode{studio.Isolated, studio.Isolated}}
	like := ""
	if len(s.Bays) > 0 {
		bay.Jack, like = s.Bays[0].Jack, s.Bays[0].Name
	}
	addBay(s, bay, like)
	s.Mults = append(slices.Clone(s.Mults), studio.Mult{Jacks: []name.Point{bay.TopJack(1), bay.BottomJack(1), bay.TopJack(2), bay.BottomJack(2)}})
	s.Stock = studio.Stock{Unlimited: true, Slack: s.Stock.Slack}
}

// lacksMult says how many free jacks of a mult a plan takes.
func lacksMult(_ *problem.Problem, p *plan.Plan) string {
	jacks := 0
	for _, c := range p.Target.Cords {
		for _, e := range c.Ends() {
			if e.Owner == spare {
				jacks++
			}
		}
	}
	return fmt.Sprintf("it would be possible with a mult of which %d jacks are free, to split a source", jacks)
}
