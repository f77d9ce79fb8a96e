package contacts

import (
	"math"

	"bayhand/model/name"
)

// Howls says whether a signal goes round for ever: through the metal, through
// amplifiers, and through gear from its inputs to the outputs that it passes
// them to. After as many rounds as there are outputs only such a signal is left.
func (r *Readings) Howls() bool {
	alive := make([]bool, len(r.panel.outputs))
	for k := range alive {
		alive[k] = true
	}
	for range r.panel.outputs {
		next, left := make([]bool, len(alive)), false
		for k, out := range r.panel.outputs {
			next[k] = r.fed(out, alive)
			left = left || next[k]
		}
		if !left {
			return false
		}
		alive = next
	}
	return len(alive) > 0
}

// fed says whether a live output arrives at an input that comes out of this one.
func (r *Readings) fed(out name.Point, alive []bool) bool {
	for _, inputs := range [][]name.Point{r.panel.selects[out], r.panel.passes[out]} {
		for _, in := range inputs {
			for k := range alive {
				if alive[k] && math.Abs(float64(r.solved.Voltage(r.panel.nodes[in], k))) > float64(heardAbove) {
					return true
				}
			}
		}
	}
	return false
}
