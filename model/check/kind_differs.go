package check

import (
	"slices"

	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var kindDiffers = rule{
	Rule: Rule{
		Code:     "kind-differs",
		Severity: "warning",
		Title:    "a source meets an input of another kind",
		Manual: `A microphone into a line input is some 50 dB too quiet, a line into a microphone
input overloads it, an instrument wants 1 Mohm and not 10 kohm, headphones and
loudspeakers want an amplifier. At loudspeaker level it is an error: it destroys
whatever it meets, and can injure; follow local codes, and leave such lines to
licensed people where those say so.`,
		Bad: Example{Studio: `studio: A microphone into a line input
gear:
  mics: {outputs: {out1: microphone}}
  recorder: {inputs: {in1: pro-line}}
wiring:
  - mics/out1 -> recorder/in1
`},
		Good: Example{Studio: `studio: A microphone into its preamplifier
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: microphone}, outputs: {out1: pro-line}}
  recorder: {inputs: {in1: pro-line}}
wiring:
  - mics/out1 -> voice/mic1
  - voice/out1 -> recorder/in1
`},
	},
	studio:  func(v *view) []violation { return kindsDiffer(withoutPhantom(v.atRest())) },
	session: func(v *sessionView) []violation { return kindsDiffer(withoutPhantom(v.fresh())) },
}

// withoutPhantom leaves out what phantom power could harm: its own rule speaks
// of the level as well. Loudspeaker level is worse than that.
func withoutPhantom(all []meeting) []meeting {
	return slices.DeleteFunc(all, func(m meeting) bool {
		return m.takesPhantom() && m.source.Line.Kind != studio.LoudspeakerLevel
	})
}

func kindsDiffer(all []meeting) []violation {
	var out []violation
	for _, g := range grouped(all, nil) {
		from, to := g.source.Line.Kind, g.destination.Line.Kind
		if from == to || from == studio.LineUnknown || to == studio.LineUnknown || unlikePhones(from, to) {
			continue
		}
		remedy, severity := between(from, to)
		out = append(out, violation{
			key: g.key,
			message: phrase.Put("{level} level from {sources} meets {destinations}, made for {other} level",
				"level", from.String(), "sources", folded(g.sources), "destinations", folded(g.destinations), "other", to.String()),
			hint:     remedy,
			severity: severity,
		})
	}
	return out
}

// between is what belongs between two kinds of line, and how bad it is without;
// empty for the rule's own severity.
func between(from, to studio.LineKind) (remedy, severity string) {
	switch from {
	case studio.LoudspeakerLevel:
		return "take it apart: this destroys the input and can injure; use the line in front of the amplifier, and follow local codes", "error"
	case studio.MicLevel:
		return "put a microphone preamplifier between", ""
	case studio.InstrumentLevel:
		return "use an instrument input, or a DI box and a microphone preamplifier", ""
	case studio.HeadphoneLevel:
		if to == studio.LineLevel {
			return "a line output is the better source; with this one start with its level down", "advice"
		}
	case studio.LineLevel, studio.LineUnknown:
	}
	switch to {
	case studio.MicLevel:
		return "use a line input, or put a pad between", ""
	case studio.InstrumentLevel:
		return "put a reamp box between, which brings line level down to instrument level", ""
	case studio.HeadphoneLevel:
		return "put a headphone amplifier between", ""
	case studio.LoudspeakerLevel:
		return "put a power amplifier between", ""
	case studio.LineLevel, studio.LineUnknown:
	}
	return "use an input of its kind", ""
}
