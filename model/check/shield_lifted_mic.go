package check

import (
	"fmt"

	"bayhand/model/name"
)

var shieldLiftedMic = rule{
	Rule: Rule{
		Code:     "shield-lifted-mic",
		Severity: "warning",
		Title:    "a shield is lifted on a line that phantom power needs",
		Manual: `Phantom power comes back on the shield (P48, IEC 61938). With the shield lifted at one
end the microphone has no supply, or finds one through a stand or a hand. Join the
shield at both ends of every cable between a microphone and its preamplifier.`,
		Bad: Example{Studio: `studio: No way back
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: {line: microphone, phantom: true}}}
wiring:
  - {from: mics/out1, to: voice/mic1, shield: source}
`},
		Good: Example{Studio: `studio: A way back
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: {line: microphone, phantom: true}}}
wiring:
  - {from: mics/out1, to: voice/mic1, shield: both}
`},
	},
	studio: shieldsLifted,
}

func shieldsLifted(v *view) []violation {
	var b batches
	for _, r := range v.runs() {
		if atA, atB := r.joined(); atA && atB {
			continue
		}
		if input, ok := v.phantomAt(v.rest.Joined, []name.Point{r.a}); ok {
			b.add(r.key, "", r.b, input)
		}
	}
	var all []violation
	for _, line := range b {
		all = append(all, violation{
			key:     line.key,
			message: fmt.Sprintf("the shield is lifted at one end on the way to %s, which can supply phantom power: it comes back on the shield", unique(line.others)),
			hint:    "join the shield at both ends",
		})
	}
	return all
}
