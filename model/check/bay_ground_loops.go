package check

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/studio"
)

var bayGroundLoops = rule{
	Rule: Rule{
		Code:     "bay-ground-loops",
		Severity: "advice",
		Title:    "the bussed sleeves of a bay join the grounds of several pieces of gear",
		Manual: `Where the sleeves of a row are bussed and the shields of several pieces of gear are
joined at both ends, each two of them make a loop through the bus, and the current
between their grounds flows in the shields. Gear whose shields are joined with its
enclosure (AES48) does not mind; other gear hums. Lift the shields at the bay,
` + "`shield: source`" + ` on wires that come to it and ` + "`shield: destination`" + ` on those that leave,
or take a bay whose sleeves are strapped or separate. Never lift the protective earth
of the mains: that can kill.`,
		Bad: Example{Studio: `studio: A bus between two grounds
gear:
  desk: {outputs: {mix1: pro-line}}
  synth: {outputs: {out1: pro-line}}
bays:
  main: {pairs: 2, modes: isolated, ground: bussed}
wiring:
  - desk/mix1 -> main/t1
  - synth/out1 -> main/t2
`},
		Good: Example{Studio: `studio: Lifted at the bay
gear:
  desk: {outputs: {mix1: pro-line}}
  synth: {outputs: {out1: pro-line}}
bays:
  main: {pairs: 2, modes: isolated, ground: bussed}
wiring:
  - desk/mix1 -> main/t1
  - {from: synth/out1, to: main/t2, shield: source}
`},
	},
	studio: groundLoops,
}

func groundLoops(v *view) []violation {
	gear := map[string][]string{}
	for _, r := range v.runs() {
		atA, atB := r.joined()
		for _, ends := range [][2]name.Point{{r.a, r.b}, {r.b, r.a}} {
			_, port := v.ports[ends[1]]
			if v.bays[ends[0].Owner].Ground == studio.Bussed && atA && atB && port && !slices.Contains(gear[ends[0].Owner], ends[1].Owner) {
				gear[ends[0].Owner] = append(gear[ends[0].Owner], ends[1].Owner)
			}
		}
	}
	var all []violation
	for _, bay := range v.studio.Bays {
		if joined := gear[bay.Name]; len(joined) > 1 {
			all = append(all, violation{
				key:     "bays." + bay.Name + ".ground",
				message: fmt.Sprintf("the bussed sleeves of %s join the shields of %s, each joined at both ends", bay.Name, strings.Join(joined, ", ")),
				hint:    "lift the shields at the bay, shield: source or shield: destination on the wires; never the protective earth of the mains",
			})
		}
	}
	return all
}
