package check

import (
	"fmt"

	"bayhand/model/studio"
)

var lineIntoPhones = rule{
	Rule: Rule{
		Code:     "line-into-phones",
		Severity: "warning",
		Title:    "a line output feeds headphones, or a headphone output a microphone input",
		Manual: `A line output is not made for the few dozen ohms of headphones: it distorts, and may
be quiet or far too loud. A headphone output at the input of a microphone preamplifier
is some 50 dB too hot, and more when its knob is turned up. Put a headphone amplifier
between, or take a line input. Turn down before somebody puts
headphones on.`,
		Bad: Example{Studio: `studio: Headphones on a line
gear:
  desk: {outputs: {cue1: pro-line}}
  phones: {inputs: {in1: {line: headphone}}, role: headphone, mute: {by: person, at: cue level}}
wiring:
  - desk/cue1 -> phones/in1
`},
		Good: Example{Studio: `studio: Headphones on their amplifier
gear:
  desk: {outputs: {phones1: headphone}}
  phones: {inputs: {in1: {line: headphone}}, role: headphone, mute: {by: person, at: cue level}}
wiring:
  - desk/phones1 -> phones/in1
`},
	},
	studio:  func(v *view) []violation { return linesIntoPhones(v.atRest()) },
	session: func(v *sessionView) []violation { return linesIntoPhones(v.fresh()) },
}

// unlikePhones says whether this rule speaks of two kinds that differ.
func unlikePhones(from, to studio.LineKind) bool {
	return from == studio.LineLevel && to == studio.HeadphoneLevel || from == studio.HeadphoneLevel && to == studio.MicLevel
}

func linesIntoPhones(all []meeting) []violation {
	var out []violation
	for _, g := range grouped(all, nil) {
		from, to := g.source.Line.Kind, g.destination.Line.Kind
		if !unlikePhones(from, to) {
			continue
		}
		f := violation{key: g.key}
		if to == studio.HeadphoneLevel {
			f.message = fmt.Sprintf("%s, a line output of %s, feeds headphones of %s at %s", unique(g.sources), g.source.Line.Source, g.destination.Line.Load, unique(g.destinations))
			f.hint = "put a headphone amplifier between, and turn it down before anybody puts headphones on"
		} else {
			f.message = fmt.Sprintf("%s, a headphone output, feeds the microphone input %s", unique(g.sources), unique(g.destinations))
			f.hint = "take a line output and a line input"
		}
		out = append(out, f)
	}
	return out
}
