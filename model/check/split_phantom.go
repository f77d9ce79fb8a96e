package check

import (
	"fmt"

	"bayhand/model/name"
)

var splitPhantom = rule{
	Rule: Rule{
		Code:     "split-phantom",
		Severity: "warning",
		Title:    "one microphone into two inputs that can supply phantom power",
		Manual: `On one piece of metal two supplies of phantom power meet (P48, IEC 61938), each feeds
the other, and both inputs load the microphone. Split it with a transformer or an
active splitter, of which one side alone passes the supply.`,
		Bad: Example{Studio: `studio: A split by wire
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1-2: {line: microphone, phantom: true}}}
wiring:
  - mics/out1 -> [voice/mic1, voice/mic2]
`},
		Good: Example{Studio: `studio: One preamplifier
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: {line: microphone, phantom: true}}}
wiring:
  - mics/out1 -> voice/mic1
`},
	},
	studio:  func(v *view) []violation { return phantomsSplit(v.joinedAtRest()) },
	session: func(v *sessionView) []violation { return phantomsSplit(v.askedOfSources()) },
}

func phantomsSplit(all []meeting) []violation {
	var sources []name.Point
	inputs, key := map[name.Point][]name.Point{}, map[name.Point]string{}
	for _, m := range all {
		if !m.destination.Line.Phantom {
			continue
		}
		from := m.source.Point
		if inputs[from] == nil {
			sources = append(sources, from)
		}
		inputs[from] = append(inputs[from], m.destination.Point)
		key[from] = m.key
	}
	var out []violation
	for _, from := range sources {
		if len(inputs[from]) > 1 {
			out = append(out, violation{
				key:     key[from],
				message: fmt.Sprintf("%s goes to %s, each of which can supply phantom power", from, folded(inputs[from])),
				hint:    "split it with a transformer or an active splitter",
			})
		}
	}
	return out
}
