package contacts

import (
	"math"
	"slices"

	"bayhand/model/name"
)

// What is not joined is apart by insulation, by the loads across the legs, and
// by the resistance of shields that have a current in common; what is joined
// loses by loads at most. Far below heardAbove is silence, far above is signal;
// between stands nothing, or the meter could not tell (see Unclear).
const (
	heardAbove Volt    = 5e-3
	fightAbove float64 = 15e-3
	// doubt is how near to its limit a reading may not be, as a factor.
	doubt = 1.5
)

// Readings are what a meter shows in the room: for each gear output alone at
// 1 V, with all others at 0 V behind their resistances, the voltage between the
// legs of every gear input.
type Readings struct {
	panel  *Panel
	solved *Solved
	// levels holds, for each gear output, the voltages of all sources while it is
	// at 1 V: its own, and those of the amplifiers that carry it on.
	levels map[name.Point][]Volt
	fights [][]int
	// nearly are pairs of sources between which the meter cannot tell.
	nearly [][2]int
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

// between is the voltage between the legs of a point while one source is on.
func (r *Readings) between(m metal, source int) Volt {
	return r.solved.Voltage(m.tip, source) - r.solved.Voltage(m.ring, source)
}

// sum is the voltage between the legs when each source has the given voltage.
func (r *Readings) sum(m metal, sources []Volt) Volt {
	var sum Volt
	for k, v := range sources {
		sum += v * r.between(m, k)
	}
	return sum
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
				next[k] += r.sum(r.panel.listening(in), levels)
			}
		}
		if slices.Equal(next, levels) {
			break
		}
		levels = next
	}
	return levels
}

// Level is the voltage between the legs of a point when the gear output is at
// 1 V and all others at 0 V; 0 for points that the room does not have.
func (r *Readings) Level(at, output name.Point) Volt {
	levels, driven := r.levels[output]
	if !r.panel.has(at) || !driven {
		return 0
	}
	return r.sum(r.panel.listening(at), levels)
}

// Inputs are the gear inputs of the room, in the order of the studio.
func (r *Readings) Inputs() []name.Point { return slices.Clone(r.panel.inputs) }

// Outputs are the gear outputs of the room, in the order of the studio.
func (r *Readings) Outputs() []name.Point {
	return slices.DeleteFunc(slices.Clone(r.panel.outputs), func(p name.Point) bool { return !r.panel.isGear[p] })
}

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

// Reaches are the gear inputs at which the signal of a gear output arrives,
// sorted.
func (r *Readings) Reaches(output name.Point) []name.Point {
	var found []name.Point
	for _, in := range r.panel.inputs {
		if math.Abs(float64(r.Level(in, output))) > float64(heardAbove) {
			found = append(found, in)
		}
	}
	slices.SortFunc(found, name.Point.Compare)
	return found
}

// Amplified says whether something arrives at a point through amplifiers.
func (r *Readings) Amplified(at name.Point) bool {
	heard := r.Hears(at)
	return slices.ContainsFunc(heard, func(out name.Point) bool {
		return !r.arrives(at, slices.Index(r.panel.outputs, out))
	})
}

// Unclear says what the meter cannot tell: inputs, not in doubt, at which a
// reading stands near the limit, and outputs whose fight does. A room in which
// it cannot tell proves nothing.
func (r *Readings) Unclear() []name.Point {
	var found []name.Point
	for _, in := range r.panel.inputs {
		for out := range r.levels {
			if borders(math.Abs(float64(r.Level(in, out))), float64(heardAbove)) && !r.Doubtful(in) {
				found = append(found, in)
			}
		}
	}
	for _, pair := range r.nearly {
		found = append(found, r.panel.outputs[pair[0]], r.panel.outputs[pair[1]])
	}
	return found
}

func borders(reading, limit float64) bool { return reading > limit/doubt && reading < limit*doubt }
