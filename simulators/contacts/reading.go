package contacts

import (
	"math"
	"slices"

	"bayhand/model/name"
)

// There is no metal between two nets but insulation to ground, so a reading is
// either a matter of loads, never smaller than a few thousandths, or rounding.
const (
	heardAbove Volt    = 1e-4
	fightAbove float64 = 1e-3
)

// Readings are what a meter shows in the room: for each gear output alone at
// 1 V, with all others at 0 V behind their resistances, the voltage at every
// gear input.
type Readings struct {
	panel  *Panel
	solved *Solved
	// levels holds, for each gear output, the voltages of all sources while it is
	// at 1 V: its own, and those of the amplifiers that carry it on.
	levels map[name.Point][]Volt
	fights [][]int
}

// Measure solves the circuit. It takes time cubic in the number of jacks.
func (b *Panel) Measure() (*Readings, error) {
	solved, err := b.network.Solve()
	if err != nil {
		return nil, err
	}
	r := &Readings{panel: b, solved: solved, levels: map[name.Point][]Volt{}}
	for k, out := range b.outputs {
		if b.isGear[out] {
			r.levels[out] = r.carried(k)
		}
	}
	r.fights = r.fighting()
	return r, nil
}

// carried finds the voltages of all sources when one is at 1 V. Each round
// carries the signal through one more amplifier, at unity gain; it cannot pass
// more of them than there are.
func (r *Readings) carried(source int) []Volt {
	levels := make([]Volt, len(r.panel.outputs))
	levels[source] = 1
	for range len(r.panel.selects) {
		next := slices.Clone(levels)
		for k, out := range r.panel.outputs {
			if k == source || r.panel.isGear[out] {
				continue
			}
			next[k] = 0
			for _, in := range r.panel.selects[out] {
				next[k] += r.solved.Voltages(r.panel.nodes[in], levels)
			}
		}
		if slices.Equal(next, levels) {
			break
		}
		levels = next
	}
	return levels
}

// Level is the voltage at a point when the gear output is at 1 V and all others
// at 0 V; 0 for points that the room does not have.
func (r *Readings) Level(at, output name.Point) Volt {
	node, ok := r.panel.nodes[at]
	levels, driven := r.levels[output]
	if !ok || !driven {
		return 0
	}
	return r.solved.Voltages(node, levels)
}

// Inputs are the gear inputs of the room, in the order of the studio.
func (r *Readings) Inputs() []name.Point { return slices.Clone(r.panel.inputs) }

// Hears are the gear outputs whose signal arrives at a point, sorted.
func (r *Readings) Hears(at name.Point) []name.Point {
	var found []name.Point
	for out := range r.levels {
		if math.Abs(float64(r.Level(at, out))) > float64(heardAbove) {
			found = append(found, out)
		}
	}
	slices.SortFunc(found, name.Point.Compare)
	return found
}
