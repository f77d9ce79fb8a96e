package check

import (
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var phantomBay = rule{
	Rule: Rule{
		Code:     "phantom-on-line-bay",
		Severity: "warning",
		Title:    "an input that can supply phantom power is on a bay that carries lines",
		Manual: `On a bay of lines every cord may end anywhere, and one slip puts 48 V (P48,
IEC 61938) on an output that was not made for it; a plug that goes in with phantom
power on shorts one leg after the other and thumps at full level. Give microphone
lines a bay of their own, or wire them straight to the preamplifier and patch its
outputs. Never plug with phantom power on.`,
		Bad: Example{Studio: `studio: A microphone jack on the line bay
gear:
  voice: {inputs: {mic1: {line: microphone, phantom: true}}}
  synth: {outputs: {out1: home-line}}
bays:
  main: {pairs: 4, modes: isolated}
wiring:
  - main/b1 -> voice/mic1
  - synth/out1 -> main/t4
`},
		Good: Example{Studio: `studio: A bay for microphones
gear:
  voice: {inputs: {mic1: {line: microphone, phantom: true}}}
  synth: {outputs: {out1: home-line}}
bays:
  stage: {pairs: 4, modes: isolated}
  main: {pairs: 4, modes: isolated}
wiring:
  - stage/b1 -> voice/mic1
  - synth/out1 -> main/t4
accept:
  - {finding: phantom-on-jack, at: voice/mic1, because: a bay of microphones alone}
`},
	},
	studio: phantomsOnBays,
}

// phantomsOnBays leaves out inputs whose very neighbours are lines: of those
// another rule speaks.
func phantomsOnBays(v *view) []violation {
	var all []violation
	for _, line := range v.phantomBatches(true) {
		n := len(line.points)
		all = append(all, violation{
			key: line.key,
			message: phrase.Count(n, "{inputs} can supply phantom power and is on {bay}, a bay that carries lines",
				"{inputs} can supply phantom power and are on {bay}, a bay that carries lines", "inputs", folded(line.points), "bay", line.words),
			hint: "give microphone lines a bay of their own, or wire them straight to the preamplifier; never plug with phantom power on",
		})
	}
	return all
}

// phantomBatches are the inputs that can supply phantom power and stand on a jack with no
// line beside it, by bay: of the bays that carry lines, or of the others.
func (v *view) phantomBatches(lines bool) batches {
	var b batches
	for _, p := range v.phantomInputs() {
		for _, c := range v.wired(p) {
			if v.isJack(c.far) && len(v.near(c.far)) == 0 && carriesLines(v, c.far.Owner) == lines {
				b.add(c.key, c.far.Owner, p, name.Point{})
			}
		}
	}
	return b
}

// phantomInputs are all inputs that can supply phantom power.
func (v *view) phantomInputs() []name.Point {
	var all []name.Point
	for _, g := range v.studio.Gear {
		for _, p := range g.Ports {
			if p.Line.Phantom && p.Direction == studio.Input {
				all = append(all, p.Point)
			}
		}
	}
	return all
}

// carriesLines says whether anything that phantom power could harm is wired to
// a bay.
func carriesLines(v *view, bay string) bool {
	for n := 1; n <= v.bays[bay].Pairs(); n++ {
		for _, row := range []string{studio.Top, studio.Bottom} {
			for _, c := range v.wired(name.At(bay, row, n)) {
				if p, ok := v.ports[c.far]; ok && harmed(p) {
					return true
				}
			}
		}
	}
	return false
}
