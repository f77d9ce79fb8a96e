package listen

import (
	"math"
	"slices"

	"bayhand/model/name"
	"bayhand/model/suspect"
)

// Heavier is a line on which more hangs than when the reference was read.
type Heavier struct {
	Output name.Point `json:"output"`
	Input  name.Point `json:"input"`
	// By is by how much it is lower, in dB.
	By float64 `json:"by"`
}

// Limits of what tells a second listener: an input of 10 kohm takes 0.086 dB from an
// output of 100 ohm (computed), and one of 20 kohm 0.043. At 10 dB over the noise a level
// scatters by 0.008 dB.
const (
	leastLoad = 0.03
	mostLoad  = 2.0
	clearOver = 10.0
)

// Heavier are the lines through metal alone that are a little lower than in the reference,
// while the others are not: a hint that something more hangs on them, such as a cord that
// leads to where nothing is heard from here. There are none without a reference.
func (v *Answer) Heavier() []Heavier {
	if v.Plan.Reference == nil {
		return nil
	}
	var all []Heavier
	var offs []float64
	for i, paths := range v.Paths {
		for o, p := range paths {
			pair := suspect.Pair{Output: v.Scene.Outputs[o], Input: v.Scene.Inputs[i]}
			r, known := v.Plan.Reference.Paths[pair]
			clear := v.Level+p.Level-v.Reading.Inputs[i].Noise > clearOver
			if !known || !p.Found || p.Smeared || r.Smeared || !clear || !v.Scene.Direct(o, i) {
				continue
			}
			offs = append(offs, p.Level-r.Level)
			all = append(all, Heavier{pair.Output, pair.Input, r.Level - p.Level})
		}
	}
	if len(offs) < shiftPaths {
		return nil // nothing to compare with
	}
	slices.Sort(offs)
	middle := offs[len(offs)/2]
	for k := range all {
		all[k].By = math.Round((all[k].By+middle)*1000) / 1000
	}
	return slices.DeleteFunc(all, func(h Heavier) bool { return h.By < leastLoad || h.By > mostLoad })
}
