package check

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/patch"
)

var phantomPlug = rule{
	Rule: Rule{
		Code:     "phantom-plug",
		Severity: "warning",
		Title:    "a plug that shorts phantom power, or hangs on it, is in a patch",
		Manual: `A two-pole plug on a line with phantom power grounds one leg of it: 7 mA flow through
the 6.81 kohm of that leg (P48, IEC 61938), the microphone loses its feed, and the
voltage that is left between the legs can destroy a ribbon. A cord plugged at one
end only leaves the other plug with 48 V on it, for whatever it touches. On such
lines use three-pole cords and dummies, and plug with phantom power off.`,
		Bad: Example{Studio: phantomPlugStudio + `rest: {cords: [{ends: [stage/t1, stage/b2], poles: 2}]}
`},
		Good: Example{Studio: phantomPlugStudio + `rest: {cords: [stage/t1 - stage/b2]}
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

func phantomPlugs(v *view, p patch.Patch, key string) []found {
	state := v.room.Hear(p)
	var all []found
	for i, c := range p.Cords {
		loose := c.B.IsZero()
		if !loose && c.Poles != 2 {
			continue
		}
		input, ok := v.phantomAt(state.Joined, c)
		if !ok {
			continue
		}
		what := fmt.Sprintf("the two-pole cord in %s grounds a leg of %s, which can supply phantom power", folded(c.Ends()), input)
		if loose {
			what = fmt.Sprintf("the cord in %s hangs loose on %s, which can supply phantom power", c.A, input)
		}
		all = append(all, found{
			key:     cordKey(key, i),
			message: what,
			hint:    "use a three-pole cord, or a dummy where a normal is only to be broken, and plug with phantom power off",
		})
	}
	return all
}

// phantomAt is an input that can supply phantom power to a cord.
func (v *view) phantomAt(joined func(p, q name.Point) bool, c patch.Cord) (name.Point, bool) {
	for _, input := range v.phantomInputs() {
		for _, end := range c.Ends() {
			if joined(end, input) {
				return input, true
			}
		}
	}
	return name.Point{}, false
}

// cordKey is the place of a cord of a patch.
func cordKey(key string, i int) string { return fmt.Sprintf("%s.cords[%d]", key, i) }
