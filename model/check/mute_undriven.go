package check

import (
	"fmt"

	"bayhand/model/studio"
)

var muteUndriven = rule{
	Rule: Rule{
		Code:     "mute-undriven",
		Severity: "warning",
		Title:    "a loudspeaker is muted by a matrix that nobody drives",
		Manual: `mute: names the output of a matrix that is switched off before anything in the path
of the loudspeaker moves. A matrix without device: is switched by hand, so the
loudspeaker stays live until somebody does it. Describe the device, or name the
switch that a person works.`,
		Bad: Example{Studio: `studio: Who mutes?
gear:
  speaker: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: shade/out1}}
matrices:
  shade: {inputs: 2, outputs: 2}
wiring:
  - shade/out1 -> speaker/in1
`},
		Good: Example{Studio: `studio: The matrix does
gear:
  speaker: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: shade/out1}}
matrices:
  shade: {inputs: 2, outputs: 2, device: {description: scpi-switch, link: "tcp:127.0.0.1:5025"}}
wiring:
  - shade/out1 -> speaker/in1
`},
	},
	studio: mutesUndriven,
}

func mutesUndriven(v *view) []violation {
	var all []violation
	for _, g := range v.studio.Gear {
		m, ok := v.matrix(g.Mute.Output.Owner)
		if !ok || m.Device != nil || g.Role == studio.RoleUnsaid {
			continue
		}
		all = append(all, violation{
			key:     "gear." + g.Name + ".mute",
			message: fmt.Sprintf("%s is muted by %s, and %s has no device: somebody has to switch it by hand", g.Name, g.Mute.Output, m.Name),
			hint:    "write device: for the matrix, or mute: {by: person, at: the switch}",
		})
	}
	return all
}
