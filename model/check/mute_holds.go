package check

import (
	"fmt"

	"bayhand/model/studio"
)

var muteHolds = rule{
	Rule: Rule{
		Code:     "mute-holds",
		Severity: "advice",
		Title:    "a loudspeaker is muted by a matrix that holds its crosspoints without power",
		Manual: `A matrix that opens when its power fails takes the loudspeaker off with it. One that
holds leaves it on: gear that goes on and off in the dark, or comes back before the
matrix is driven again, thumps at full level. Put a switch that a person works in
the way, and name that, or mute with a matrix that opens; and turn amplifiers on last
and off first.`,
		Bad:  Example{Studio: muteHoldsStudio("holds")},
		Good: Example{Studio: muteHoldsStudio("open")},
	},
	studio: mutesHold,
}

func muteHoldsStudio(without string) string {
	return `studio: In the dark
gear:
  speaker: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: shade/out1}}
matrices:
  shade: {inputs: 2, outputs: 2, kind: contacts, power-off: ` + without + `, device: {description: scpi-switch, link: "tcp:127.0.0.1:5025"}}
wiring:
  - shade/out1 -> speaker/in1
`
}

func mutesHold(v *view) []violation {
	var all []violation
	for _, g := range v.studio.Gear {
		m, ok := v.matrix(g.Mute.Output.Owner)
		if !ok || m.PowerOff != studio.PowerOffHolds || g.Role == studio.RoleUnsaid {
			continue
		}
		all = append(all, violation{
			key:     "gear." + g.Name + ".mute",
			message: fmt.Sprintf("%s is muted by %s, and %s holds its crosspoints without power", g.Name, g.Mute.Output, m.Name),
			hint:    "mute with a switch that a person works, or with a matrix that opens without power",
		})
	}
	return all
}
