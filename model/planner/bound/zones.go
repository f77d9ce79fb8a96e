package bound

import (
	"math"
	"slices"

	"bayhand/model/measure"
)

// zones are parts of the front of one width, within which no difference is made of how far a
// cord goes: from one to another it is as long as between the nearest of their jacks.
type zones struct {
	count int
	of    []int              // by jack
	need  [][]measure.Length // between two; beyond where no cord goes
}

const (
	beyond = measure.Length(math.MaxInt64)
	// narrow and wide are the widths of zones in rooms with fewer or more jacks than manyInZones.
	narrow, wide = 12 * measure.Centimetre, measure.Metre
	manyInZones  = 1000
)

func newZones(f *facts) *zones {
	z := &zones{of: make([]int, len(f.problem.Jacks))}
	width := narrow
	if len(z.of) > manyInZones {
		width = wide
	}
	number := map[measure.Length]int{}
	for j := range z.of {
		x := f.problem.Jacks[j].Spot.X / width
		if _, found := number[x]; !found {
			number[x] = len(number)
		}
		z.of[j] = number[x]
	}
	z.count = len(number)
	for range z.count {
		z.need = append(z.need, slices.Repeat([]measure.Length{beyond}, z.count))
	}
	z.measure(f)
	return z
}

func (z *zones) measure(f *facts) {
	s := &f.problem.Stock
	for i, a := range z.of {
		if !f.problem.Usable(i) {
			continue
		}
		for j, b := range z.of[:i] {
			if need := s.Need(i, j); need < z.need[a][b] && f.problem.Usable(j) && s.Any(i, j) {
				z.need[a][b], z.need[b][a] = need, need
			}
		}
	}
}
