package check

import "bayhand/model/phrase"

var phantomJack = rule{
	Rule: Rule{
		Code:     "phantom-on-jack",
		Severity: "advice",
		Title:    "an input that can supply phantom power is reached through a jack",
		Manual: `A plug that goes into a jack with phantom power on it (P48, IEC 61938) shorts one
leg after the other: it thumps at full level in whatever listens, and a ribbon
microphone can be lost. The cautious way is to wire microphones straight to the
preamplifier and to patch its outputs. A bay for microphones alone is the other usual
way, and this is advice and no warning because it is one that can be meant: its jacks
are marked, TRS cords alone are used there, and phantom power is switched off
before each plug. Whoever has decided so writes it under ` + "`accept:`" + `, and it is not said
again. On a bay that carries lines as well, or beside one, it is a warning of
phantom-on-line-bay or phantom-near-line instead.`,
		Bad: Example{Studio: `studio: Microphones on a bay
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: {line: microphone, phantom: true}}}
bays:
  stage: {pairs: 1, modes: normal}
wiring:
  - mics/out1 -> stage/t1
  - stage/b1 -> voice/mic1
`},
		Good: Example{Studio: `studio: Microphones on a bay, and meant
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: {line: microphone, phantom: true}}}
bays:
  stage: {pairs: 1, modes: normal}
wiring:
  - mics/out1 -> stage/t1
  - stage/b1 -> voice/mic1
accept:
  - {finding: phantom-on-jack, at: voice/mic1, because: a bay of microphones alone}
`},
	},
	studio: phantomsOnJacks,
}

// phantomsOnJacks leaves out bays that carry lines, of which other rules speak.
func phantomsOnJacks(v *view) []violation {
	var all []violation
	for _, line := range v.phantomBatches(false) {
		n := len(line.points)
		all = append(all, violation{
			key:     line.key,
			message: phrase.Count(n, "{inputs} can supply phantom power and is reached through a jack of {bay}", "{inputs} can supply phantom power and are reached through jacks of {bay}", "inputs", folded(line.points), "bay", line.words),
			hint:    "wire microphones straight to the preamplifier, or, where the bay is for microphones alone, mark its jacks, switch phantom power off before plugging, and say so under accept:",
		})
	}
	return all
}
