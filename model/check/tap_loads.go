package check

import (
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var tapLoads = rule{
	Rule: Rule{
		Code:     "tap-loads",
		Severity: "advice",
		Title:    "a half-normal lets a tap load an output that must not be loaded",
		Manual: `A tap puts a second input in parallel with the first. A line output does not mind; a
microphone or an instrument does: its level falls and its sound changes, in the
channel that was there first as well (the voltage divider), and with phantom power two
supplies meet. A full normal lets go of the first input when the source is taken
elsewhere.`,
		Bad: Example{Studio: `studio: An instrument on a half-normal
gear:
  bass: {outputs: {out1: instrument}}
  voice: {inputs: {di1: instrument}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - bass/out1 -> main/t1
  - main/b1 -> voice/di1
`},
		Good: Example{Studio: `studio: An instrument on a full normal
gear:
  bass: {outputs: {out1: instrument}}
  voice: {inputs: {di1: instrument}}
bays:
  main: {pairs: 1, modes: normal}
wiring:
  - bass/out1 -> main/t1
  - main/b1 -> voice/di1
`},
	},
	studio: tapsLoad,
}

// tender is the source impedance from which on a second line input tells:
// common practice, no published source.
const tender = measure.Impedance(5000)

func tapsLoad(v *view) []violation {
	var b batches
	for _, bay := range v.studio.Bays {
		for n := 1; n <= bay.Pairs(); n++ {
			for _, jack := range []name.Point{bay.TopJack(n), bay.BottomJack(n)} {
				if v.breaks(jack) || !v.breaks(studio.OtherJack(jack)) || v.destinationAt(studio.OtherJack(jack)).IsZero() {
					continue
				}
				source, key := v.sourceAt(jack)
				if p, ok := v.ports[source]; ok && delicate(p) {
					b.add(key, p.Line.Kind.String(), source, jack)
				}
			}
		}
	}
	var all []violation
	for _, line := range b {
		n := len(line.points)
		all = append(all, violation{
			key: line.key,
			message: phrase.Count(n, "{outputs} ({level}) is on a half-normal, where a tap puts a second input on it",
				"{outputs} ({level}) are on half-normals, where a tap puts a second input on them", "outputs", folded(line.points), "level", line.words),
			hint: phrase.Count(n, "make the pair full normal", "make the pairs full normal"),
		})
	}
	return all
}

func delicate(p studio.Port) bool {
	return p.Line.Kind == studio.MicLevel || p.Line.Kind == studio.InstrumentLevel || p.Line.Source >= tender
}
