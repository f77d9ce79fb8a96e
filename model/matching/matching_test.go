package matching_test

import (
	"math/bits"
	"math/rand/v2"
	"testing"

	"bayhand/model/matching"
)

// drawn is a small matching to be found: fits by thing, as bits of places.
type drawn struct {
	fits     []uint
	capacity []int
}

func draw(seed uint64) drawn {
	r := rand.New(rand.NewPCG(seed, 0x6d61746368))
	d := drawn{capacity: make([]int, 1+r.IntN(4))}
	for p := range d.capacity {
		d.capacity[p] = r.IntN(3)
	}
	for range 1 + r.IntN(5) {
		d.fits = append(d.fits, uint(r.IntN(1<<len(d.capacity))))
	}
	return d
}

// most is the most things that can be placed, by trying every place for each.
func (d drawn) most(thing int, left []int) int {
	if thing == len(d.fits) {
		return 0
	}
	best := d.most(thing+1, left)
	for p := range left {
		if d.fits[thing]>>p&1 == 1 && left[p] > 0 {
			left[p]--
			best = max(best, 1+d.most(thing+1, left))
			left[p]++
		}
	}
	return best
}

// As many things have a place as can have one, each where it fits and no place with
// more than it holds. Where one has none, Hall's condition fails at the places that
// are said to be short (Hall 1935).
func TestMatchingIsTheMost(t *testing.T) {
	refused := 0
	for seed := range uint64(3000) {
		d := draw(seed)
		m := matching.New(d.capacity, func(thing, place int) bool { return d.fits[thing]>>place&1 == 1 })
		var placed []int
		for thing := range d.fits {
			if m.Add(thing) {
				placed = append(placed, thing)
				continue
			}
			refused++
			d.short(t, seed, m.Short(), append(placed, thing))
		}
		if most := d.most(0, append([]int{}, d.capacity...)); len(placed) != most {
			t.Fatalf("seed %d: %d have a place, %d can: %+v", seed, len(placed), most, d)
		}
		d.holds(t, seed, m, len(placed))
	}
	if refused < 1000 {
		t.Errorf("only %d had no place", refused)
	}
}

// holds checks that each thing is where it fits.
func (d drawn) holds(t *testing.T, seed uint64, m *matching.Matching, placed int) {
	t.Helper()
	for p, holds := range d.capacity {
		placed -= len(m.At(p))
		if len(m.At(p)) > holds {
			t.Fatalf("seed %d: %d at place %d, which holds %d", seed, len(m.At(p)), p, holds)
		}
		for _, thing := range m.At(p) {
			if d.fits[thing]>>p&1 == 0 {
				t.Fatalf("seed %d: thing %d is at place %d and does not fit", seed, thing, p)
			}
		}
	}
	if placed != 0 {
		t.Fatalf("seed %d: %d too few or too many are at places", seed, placed)
	}
}

// short checks that more of the things fit only places that are short than these
// hold.
func (d drawn) short(t *testing.T, seed uint64, short []bool, things []int) {
	t.Helper()
	var set uint
	holds := 0
	for p, is := range short {
		if is {
			set |= 1 << p
			holds += d.capacity[p]
		}
	}
	only := 0
	for _, thing := range things {
		if d.fits[thing]&^set == 0 {
			only++
		}
	}
	if only <= holds {
		t.Fatalf("seed %d: %d things fit only the %d places that are short, which hold %d: %+v", seed, only, bits.OnesCount(set), holds, d)
	}
}

// Most is the size of the largest matching of one thing a place: in a graph of n
// things that each fit the first k places alone, it is the lesser of both.
func TestMost(t *testing.T) {
	for n := range 5 {
		for k := range 5 {
			var fit [][]int
			for range n {
				var places []int
				for p := range k {
					places = append(places, p)
				}
				fit = append(fit, places)
			}
			if most := matching.Most(fit, 4); most != min(n, k) {
				t.Errorf("%d things, %d places: %d", n, k, most)
			}
		}
	}
}
