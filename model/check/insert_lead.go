package check

import (
	"fmt"
	"strings"

	"bayhand/model/level"
	"bayhand/model/name"
)

var insertLead = rule{
	Rule: Rule{
		Code:     "insert-lead",
		Severity: "warning",
		Title:    "a one-jack insert is wired with two cables, or with a TS plug",
		Manual: `A one-jack insert carries its send and its return on one TRS plug: tip, ring
and a sleeve for both. A TS plug there joins the ring with ground: the return, and the
channel is silent, or the send, where the tip carries the return. Two cables cannot end
on one jack. Wire it with one cable of two pairs and a TRS plug. Looked for on gear whose
` + "`insert-tip:`" + ` is said, and at inserts whose plug is trs.`,
		Bad: Example{Studio: `studio: An insert on two cables
gear:
  desk: {inserts: {ins1: {line: pro-line, balanced: false}}, insert-tip: send}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - {from: desk/ins1.send, to: main/t1, cable: "0001"}
  - {from: main/b1, to: desk/ins1.return, cable: "0002"}
`},
		Good: Example{Studio: `studio: An insert on one cable
gear:
  desk: {inserts: {ins1: {line: pro-line, balanced: false}}, insert-tip: send}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - {from: desk/ins1.send, to: main/t1, cable: "0001"}
  - {from: main/b1, to: desk/ins1.return, cable: "0001"}
`},
	},
	studio: insertLeads,
}

// insertLeads looks at the runs to the halves of inserts that share a jack.
func insertLeads(v *view) []violation {
	oneJack := map[string]bool{}
	for _, g := range v.studio.Gear {
		oneJack[g.Name] = g.InsertTip != name.Whole
	}
	cables := map[name.Point]run{}
	var all []violation
	for _, r := range v.runs() {
		for i, p := range []name.Point{r.a, r.b} {
			if p.Part == name.Whole || !oneJack[p.Owner] && !strings.EqualFold(v.ports[p].Line.Plug, "trs") {
				continue
			}
			whole := p
			whole.Part = name.Whole
			other, known := cables[whole]
			switch {
			case level.TwoPoles(r.run.Plugs[i]):
				all = append(all, insertFound(r.key, fmt.Sprintf("the plug at %s is TS (%s), and the insert needs TRS", p, r.run.Plugs[i])))
			case known && other.run.Cable != r.run.Cable:
				all = append(all, insertFound(r.key, fmt.Sprintf("the send and the return of %s are on two cables, %s and %s, and the insert is one jack", whole, orElse(other.run.Cable, "one without a number"), orElse(r.run.Cable, "one without a number"))))
			case !known:
				cables[whole] = r
			}
		}
	}
	return all
}

func insertFound(key, message string) violation {
	return violation{key: key, message: message, hint: "wire it with one cable of two pairs and a TRS plug"}
}
