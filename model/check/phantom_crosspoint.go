package check

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
)

var phantomCrosspoint = rule{
	Rule: Rule{
		Code:     "phantom-crosspoint",
		Severity: "warning",
		Title:    "an input that can supply phantom power is joined with a matrix",
		Manual: `Phantom power puts 48 V on whatever is joined with the input (P48, IEC 61938: 6.81
kohm in each leg, 14 mA into a short). Relays switch it with a thump and hand it to
the next source; amplifiers of a matrix are not made to have it at their outputs.
Keep crosspoints out of microphone lines: switch behind the preamplifier.`,
		Bad: Example{Studio: `studio: Relays before the preamplifier
gear:
  mics: {outputs: {out1-2: microphone}}
  voice: {inputs: {mic1: {line: microphone, phantom: true}}}
matrices:
  grid: {inputs: 2, outputs: 1, kind: contacts}
wiring:
  - mics/out1-2 -> grid/in1-2
  - grid/out1 -> voice/mic1
`},
		Good: Example{Studio: `studio: Relays behind the preamplifiers
gear:
  mics: {outputs: {out1-2: microphone}}
  voice:
    inputs: {mic1-2: {line: microphone, phantom: true}}
    outputs: {out1-2: pro-line}
    passes: [mic1-2 -> out1-2]
  recorder: {inputs: {in1: pro-line}}
matrices:
  grid: {inputs: 2, outputs: 1, kind: contacts}
wiring:
  - mics/out1-2 -> voice/mic1-2
  - voice/out1-2 -> grid/in1-2
  - grid/out1 -> recorder/in1
`},
	},
	studio: func(v *view) []violation {
		var b batches
		for _, p := range v.phantomInputs() {
			if m := matrixAt(v, p); m != "" {
				b.add(v.keyOf([]name.Point{p}), m, p, name.Point{})
			}
		}
		return throughCrosspoints(b, "in the rest patch")
	},
	session: func(v *sessionView) []violation {
		var b batches
		for _, w := range v.session.Wants {
			if !v.ports[w.Destination].Line.Phantom || matrixAt(v.view, w.Destination) != "" {
				continue // none, or said of the studio
			}
			for _, via := range w.Via {
				if _, is := v.matrix(via); is {
					b.add(orElse(w.Key, "connect"), via, w.Destination, name.Point{})
				}
			}
		}
		return throughCrosspoints(b, "in this session")
	},
}

// matrixAt is a matrix that metal joins with a point at rest; empty for none.
func matrixAt(v *view, p name.Point) string {
	net := v.rest.Net(p)
	i := slices.IndexFunc(net, func(q name.Point) bool {
		_, is := v.matrix(q.Owner)
		return is
	})
	if i < 0 {
		return ""
	}
	return net[i].Owner
}

func throughCrosspoints(b batches, when string) []violation {
	var all []violation
	for _, line := range b {
		n := len(line.points)
		all = append(all, violation{
			key: line.key,
			message: phrase.Count(n, "{when} {inputs} can supply phantom power and is joined with the matrix {matrix}",
				"{when} {inputs} can supply phantom power and are joined with the matrix {matrix}", "when", when, "inputs", folded(line.points), "matrix", line.words),
			hint: "switch behind the preamplifier, or keep phantom power off on that input for good",
		})
	}
	return all
}
