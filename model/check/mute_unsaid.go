package check

import (
	"fmt"

	"bayhand/model/studio"
)

var muteUnsaid = rule{
	Rule: Rule{
		Code:     "mute-unsaid",
		Severity: "advice",
		Title:    "nobody said how a loudspeaker is muted",
		Manual: `Loudspeakers are muted before anything in their path moves. With mute: the steps
name the switch that a person works, or the matrix output that does it by itself;
without it they can only say to turn the gear down.`,
		Bad: Example{Studio: `studio: How is it muted?
gear:
  speakers: {inputs: {in1-2: pro-line}, role: loudspeaker}
`},
		Good: Example{Studio: `studio: By the monitor cut
gear:
  speakers: {inputs: {in1-2: pro-line}, role: loudspeaker, mute: {by: person, at: monitor cut}}
`},
	},
	studio: mutesUnsaid,
}

func mutesUnsaid(v *view) []violation {
	var all []violation
	for _, g := range v.studio.Gear {
		if g.Role != studio.Loudspeaker || g.Mute != (studio.Mute{}) {
			continue
		}
		all = append(all, violation{
			key:     "gear." + g.Name + ".role",
			message: fmt.Sprintf("%s is a loudspeaker, and nothing says how it is muted", g.Name),
			hint:    "write mute: {by: person, at: the switch} or mute: {by: the matrix output}",
		})
	}
	return all
}
