package check

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var phantomNear = rule{
	Rule: Rule{
		Code:     "phantom-near-line",
		Severity: "warning",
		Title:    "an input that can supply phantom power lands beside line or unbalanced gear",
		Manual: `Phantom power puts 48 V on both legs of a microphone input (IEC 61938). One cord in
the wrong jack, and the output of line or unbalanced gear has it: outputs have been
lost that way, and plugging with it on thumps at full level. Keep microphone jacks
on a bay of their own; where they must share one, leave free columns beside them.
Never plug with phantom power on: switch it off, and wait until it has gone.`,
		Bad: Example{Studio: `studio: A microphone jack beside a line
gear:
  voice: {inputs: {mic1: {line: microphone, phantom: true}}}
  synth: {outputs: {out1: home-line}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - main/b1 -> voice/mic1
  - synth/out1 -> main/t2
`},
		Good: Example{Studio: `studio: Microphone jacks by themselves
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: {line: microphone, phantom: true}}}
  synth: {outputs: {out1: home-line}}
bays:
  stage: {pairs: 2, modes: isolated}
  main: {pairs: 2, modes: isolated}
wiring:
  - mics/out1 -> stage/t2
  - stage/b1 -> voice/mic1
  - synth/out1 -> main/t2
accept:
  - {finding: phantom-on-jack, at: voice/mic1, because: a bay of microphones alone}
`},
	},
	studio: phantomsNear,
}

// phantomsNear has one finding for each piece of gear, with every input that
// has such a neighbour.
func phantomsNear(v *view) []violation {
	var all []violation
	for _, g := range v.studio.Gear {
		var inputs, beside []name.Point
		key := ""
		for _, p := range g.Ports {
			if !p.Line.Phantom || p.Direction != studio.Input {
				continue
			}
			for _, c := range v.wired(p.Point) {
				if near := v.near(c.far); len(near) > 0 {
					inputs = append(inputs, p.Point)
					beside = append(beside, near...)
					key = orElse(key, c.key)
				}
			}
		}
		if len(inputs) == 0 {
			continue
		}
		slices.SortFunc(beside, name.Point.Compare)
		all = append(all, violation{
			key:     key,
			message: phrase.Count(len(inputs), "{inputs} can supply phantom power and lands beside {ports}", "{inputs} can supply phantom power and land beside {ports}", "inputs", folded(inputs), "ports", folded(slices.Compact(beside))),
			hint:    "leave a column free between microphone and other jacks, and switch phantom power off before plugging there",
		})
	}
	return all
}

// near are the ports of gear on the other jack of a jack's pair and on the
// columns beside it that phantom power could harm.
func (v *view) near(jack name.Point) []name.Point {
	if !v.isJack(jack) {
		return nil
	}
	var ports []name.Point
	for _, column := range []int{jack.Number - 1, jack.Number, jack.Number + 1} {
		for _, row := range []string{studio.Top, studio.Bottom} {
			for _, c := range v.wired(name.At(jack.Owner, row, column)) {
				if p, ok := v.ports[c.far]; ok && harmed(p) {
					ports = append(ports, p.Point)
				}
			}
		}
	}
	return ports
}

// harmed says whether a port is not made for phantom power: anything that is not
// a balanced microphone line.
func harmed(p studio.Port) bool {
	return p.Line.Kind != studio.LineUnknown && (p.Line.Kind != studio.MicLevel || !p.Line.Balanced)
}
