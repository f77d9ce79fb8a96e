package check

import (
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var shieldNowhere = rule{
	Rule: Rule{
		Code:     "shield-nowhere",
		Severity: "warning",
		Title:    "a shield is joined at neither piece of gear",
		Manual: `A shield that is joined at one end only, and there with a sleeve of the bay that
nothing else grounds, is an aerial: it shields nothing and couples what it takes up
into the pair. Looked for on bays whose ` + "`ground:`" + ` is said. Join the shield at the gear's
end, or at both: shields belong on the enclosures of gear (AES48).`,
		Bad: Example{Studio: `studio: A shield on a sleeve alone
gear:
  synth: {outputs: {out1: pro-line}}
bays:
  main: {pairs: 2, modes: isolated, ground: separate}
wiring:
  - {from: synth/out1, to: main/t1, shield: destination}
`},
		Good: Example{Studio: `studio: A shield on its gear
gear:
  synth: {outputs: {out1: pro-line}}
bays:
  main: {pairs: 2, modes: isolated, ground: separate}
wiring:
  - {from: synth/out1, to: main/t1, shield: source}
`},
	},
	studio: shieldsNowhere,
}

// sleeve is a group of sleeves that are joined at the rear of a bay: one jack, a
// pair, or a row.
type sleeve struct {
	bay, row string
	number   int
}

// sleeveOf is the group of a jack; ok is false where the bay does not say.
func sleeveOf(v *view, p name.Point) (s sleeve, ok bool) {
	switch v.bays[p.Owner].Ground {
	case studio.Separate:
		return sleeve{p.Owner, p.Stem, p.Number}, true
	case studio.Strapped:
		return sleeve{p.Owner, "", p.Number}, true
	case studio.Bussed:
		return sleeve{p.Owner, p.Stem, 0}, true
	case studio.GroundUnsaid:
	}
	return sleeve{}, false
}

// shieldsNowhere looks at shields that are joined with a sleeve and with nothing
// else. A sleeve is grounded by a shield that is joined at both its ends.
func shieldsNowhere(v *view) []violation {
	grounded := map[sleeve]bool{}
	for _, r := range v.runs() {
		atA, atB := r.joined()
		for _, end := range []name.Point{r.a, r.b} {
			if s, ok := sleeveOf(v, end); ok && atA && atB {
				grounded[s] = true
			}
		}
	}
	var b batches
	for _, r := range v.runs() {
		atA, atB := r.joined()
		end := r.a
		if atB {
			end = r.b
		}
		if s, ok := sleeveOf(v, end); ok && atA != atB && !grounded[s] {
			b.add(r.key, "", end, name.Point{})
		}
	}
	var all []violation
	for _, line := range b {
		all = append(all, violation{
			key: line.key,
			message: phrase.Count(len(line.points), "the shield is joined at {jacks} alone, and nothing else grounds the sleeve there",
				"the shields are joined at {jacks} alone, and nothing else grounds the sleeves there", "jacks", folded(line.points)),
			hint: "join the shield at the gear's end, or at both ends",
		})
	}
	return all
}
