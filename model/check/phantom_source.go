package check

import (
	"bayhand/model/phrase"
)

var phantomSource = rule{
	Rule: Rule{
		Code:     "phantom-at-source",
		Severity: "warning",
		Title:    "a source that phantom power can harm meets an input that can supply it",
		Manual: `P48 feeds 48 V through 6.81 kohm in each leg, up to 14 mA into a short (IEC 61938).
The output of a line, an instrument or an unbalanced microphone is not made for
that, and at its level it overloads the input besides. Put a DI box or a
transformer between, or use a line input. Where it must be, phantom power goes off
first, and one waits until it has gone before anything is plugged.`,
		Bad: Example{Studio: `studio: A line into the microphone input
gear:
  synth: {outputs: {out1: home-line}}
  voice: {inputs: {mic1: {line: microphone, phantom: true}}}
wiring:
  - synth/out1 -> voice/mic1
`},
		Good: Example{Studio: `studio: Through a DI box
gear:
  synth: {outputs: {out1: home-line}}
  box: {inputs: {in1: home-line}, outputs: {out1: microphone}, passes: [in1 -> out1]}
  voice: {inputs: {mic1: {line: microphone, phantom: true}}}
wiring:
  - synth/out1 -> box/in1
  - box/out1 -> voice/mic1
`},
	},
	studio:  func(v *view) []violation { return phantomsMet(v.joinedAtRest()) },
	session: func(v *sessionView) []violation { return phantomsMet(v.joinedAsked()) },
}

func phantomsMet(all []meeting) []violation {
	var b batches
	for _, m := range all {
		if m.takesPhantom() {
			words := m.source.Line.Kind.String()
			if !m.source.Line.Balanced {
				words = phrase.Put("unbalanced {level}", "level", words)
			}
			b.add(m.key, words, m.source.Point, m.destination.Point)
		}
	}
	var out []violation
	for _, line := range b {
		n := len(line.points)
		out = append(out, violation{
			key: line.key,
			message: phrase.Count(n, "{outputs} ({level}) meets {inputs}, which can supply phantom power: 48 V on an output not made for it",
				"{outputs} ({level}) meet {inputs}, which can supply phantom power: 48 V on an output not made for it", "outputs", folded(line.points), "level", line.words, "inputs", folded(line.others)),
			hint: "put a DI box or a transformer between, or use a line input; phantom power off before anything is plugged",
		})
	}
	return out
}

// takesPhantom says whether phantom power of the destination can harm the
// source.
func (m meeting) takesPhantom() bool { return m.destination.Line.Phantom && harmed(m.source) }
