package listen

import (
	"fmt"
	"math"
	"slices"

	"bayhand/model/name"
	"bayhand/model/reading"
	"bayhand/model/studio"
	"bayhand/model/suspect"
	"bayhand/recall/words"
)

// Trouble is something about an input as a whole.
type Trouble struct {
	Code  string     `json:"code"`
	Input name.Point `json:"input"`
	// Says is what follows the input's name in a sentence.
	Says string `json:"-"`
}

// comesAndGoes is the part of the time in which a path may be away and still be steady.
const comesAndGoes = 0.02

// Troubles are what is wrong at inputs as a whole.
func (v *Answer) Troubles() []Trouble {
	var found []Trouble
	for i, in := range v.Reading.Inputs {
		at := v.Scene.Inputs[i]
		add := func(code, says string) { found = append(found, Trouble{code, at, says}) }
		if in.Remains {
			add("goes-round", "sound stayed after the end: something goes round")
		}
		if in.Clipped {
			add("clipped", "was at full scale; what is read there is not to be relied on")
		}
		if in.Unnamed {
			add("unnamed", "gets sound that came with the test sound, but no output can be named")
		}
		if says := v.hum(at, in); says != "" {
			add("hum", says)
		}
		for o, p := range v.Paths[i] {
			if p.Found && p.Out > comesAndGoes && v.Scene.Expected(o, i).Class != suspect.Absent {
				add("comes-and-goes", words.Put("loses {outputs} again and again: a contact that comes and goes", "outputs", v.Scene.Outputs[o].String()))
			}
		}
	}
	return found
}

// Limits of hum at an input, in dBFS rms: what is louder than loudHum is told, and with a
// reference what is humGrown dB louder than it was, if it is not below leastHum: common
// practice, no published source.
const (
	loudHum  = -60.0
	leastHum = -85.0
	humGrown = 10.0
)

// hum says that an input hums; empty where it does not.
func (v *Answer) hum(at name.Point, in reading.Input) string {
	level := humLevel(in.Hum)
	const cause = "an open leg or shield, or grounds that are joined twice"
	what := fmt.Sprintf("hums with %.0f Hz and harmonics at %.0f dBFS (%s)", mainsOf(in.Hum), level, v.onLine(at, level))
	switch was, known := v.Plan.Reference.humAt(at); {
	case known && level > max(leastHum, was+humGrown):
		return fmt.Sprintf("%s, %.0f dB more than in the reference: %s", what, level-max(leastHum, was), cause)
	case !known && level > loudHum:
		return what + ": " + cause
	}
	return ""
}

// onLine is a level on the line of an input of the device, by its full scale.
func (v *Answer) onLine(at name.Point, dBFS float64) string {
	d := v.Plan.Device
	full := d.Sound.FullScale
	if i := slices.IndexFunc(d.Ports, func(p studio.Port) bool { return p.Point == at }); full == 0 && i >= 0 {
		full = d.Ports[i].Line.Max
	}
	return fmt.Sprintf("%+.0f dBu", float64(full)+dBFS)
}

// humLevel is that of all lines together, in dBFS rms; minus infinity for none.
func humLevel(lines []reading.Line) float64 {
	power := 0.0
	for _, l := range lines {
		power += math.Pow(10, l.Level/10)
	}
	return 10 * math.Log10(power)
}

// mainsOf is the frequency whose harmonics lines are.
func mainsOf(lines []reading.Line) float64 {
	for _, l := range lines {
		if math.Mod(l.Frequency, 60) != 0 {
			return 50
		}
	}
	return 60
}
