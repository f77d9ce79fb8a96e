package check

import (
	"fmt"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

var phantomPlug = rule{
	Rule: Rule{
		Code:     "phantom-plug",
		Severity: "warning",
		Title:    "a plug that shorts phantom power, carries it loose, or brings it to a line is in a patch",
		Manual: `A TS plug on a line with phantom power grounds one leg of it: 7 mA flow through
the 6.81 kohm of that leg (P48, IEC 61938), the microphone loses its feed or half of
it, and the voltage that is left between the legs can destroy a ribbon. A cord plugged at one
end only leaves the other plug with 48 V on it, for whatever it touches. A cord or gear
cable from there to line or unbalanced gear puts 48 V on that. On such lines use TRS
cords and dummies, to microphones only, and plug with phantom power off.`,
		Bad: Example{Studio: phantomPlugStudio + `rest: {cords: [{ends: [stage/t1, stage/b2], poles: 2}]}
`},
		Good: Example{Studio: phantomPlugStudio + `rest: {cords: [stage/t1 - stage/b2]}
accept:
  - {finding: phantom-on-jack, at: voice/mic1-2, because: a bay of microphones alone}
`},
	},
	studio:  onRest(phantomPlugs),
	session: onKept(phantomPlugs),
}

const phantomPlugStudio = `studio: Microphone lines
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1-2: {line: microphone, phantom: true}}}
bays:
  stage: {pairs: 3, modes: isolated}
wiring:
  - mics/out1 -> stage/t1
  - stage/b1-2 -> voice/mic1-2
`

func phantomPlugs(v *view, p patch.Patch, key string) []violation {
	state := v.room.Hear(p)
	var all []violation
	for i, c := range p.Cords {
		input, ok := v.phantomAt(state.Joined, c.Ends())
		if !ok {
			continue
		}
		harmed := harmedWith(v, state, input)
		f := violation{
			key:  cordKey(key, i),
			hint: "use a TRS cord, or a dummy where a normal is only to be broken, and plug with phantom power off",
		}
		switch {
		case c.B.IsZero():
			f.message = fmt.Sprintf("the cord in %s has a loose end and is joined with %s, which can supply phantom power", c.A, input)
		case c.Poles == 2:
			f.message = fmt.Sprintf("the TS cord in %s grounds a leg of %s, which can supply phantom power", folded(c.Ends()), input)
		case len(harmed) > 0:
			f.message = fmt.Sprintf("the cord in %s joins %s, which can supply phantom power, with %s", folded(c.Ends()), input, folded(harmed))
			f.hint = phantomApart
		default:
			continue
		}
		all = append(all, f)
	}
	return append(all, phantomLeads(v, state, p, key)...)
}

const phantomApart = "take it out, or be sure that phantom power is off there and stays off"

// phantomLeads are leads that join line or unbalanced gear with an input that can
// supply phantom power.
func phantomLeads(v *view, state *heard.State, p patch.Patch, key string) []violation {
	var all []violation
	for i, l := range p.Leads {
		input, ok := v.phantomAt(state.Joined, []name.Point{l.Jack})
		if harmed := harmedWith(v, state, input); ok && len(harmed) > 0 {
			all = append(all, violation{
				key:     fmt.Sprintf("%s.leads[%d]", key, i),
				message: fmt.Sprintf("the gear cable %s - %s joins %s, which can supply phantom power, with %s", l.Port, l.Jack, input, folded(harmed)),
				hint:    phantomApart,
			})
		}
	}
	return all
}

// harmedWith are the inputs on a point's net that phantom power could harm; of
// outputs there another rule speaks.
func harmedWith(v *view, state *heard.State, input name.Point) []name.Point {
	var all []name.Point
	for _, p := range state.Net(input) {
		if port, ok := v.ports[p]; ok && port.Direction == studio.Input && harmed(port) {
			all = append(all, p)
		}
	}
	return all
}

// phantomAt is an input that can supply phantom power to one of some jacks.
func (v *view) phantomAt(joined func(p, q name.Point) bool, jacks []name.Point) (name.Point, bool) {
	for _, input := range v.phantomInputs() {
		for _, end := range jacks {
			if joined(end, input) {
				return input, true
			}
		}
	}
	return name.Point{}, false
}

// cordKey is the place of a cord of a patch.
func cordKey(key string, i int) string { return fmt.Sprintf("%s.cords[%d]", key, i) }
