// Package matching gives things places: each thing one place that fits it, and no
// place more things than it holds (bipartite matching with capacities). Where that
// cannot be, it says which places are short.
package matching

// Matching is an assignment of things, by number, to places, by number.
type Matching struct {
	fits     func(thing, place int) bool
	capacity []int
	at       [][]int // things, by place
	seen     []bool
}

// New is a matching without any thing, over as many places as there are
// capacities. Fits says whether a thing can be at a place, and must not change.
func New(capacity []int, fits func(thing, place int) bool) *Matching {
	return &Matching{fits: fits, capacity: capacity, at: make([][]int, len(capacity)), seen: make([]bool, len(capacity))}
}

// Add gives one more thing a place, and moves others where it must (Kuhn 1955,
// "The Hungarian method", Naval Research Logistics Quarterly 2): at the first place
// that will do. It is false where the thing cannot be added, whatever is moved. It
// asks fits once for each thing that is in and each place at most.
func (m *Matching) Add(thing int) bool {
	clear(m.seen)
	return m.augment(thing)
}

func (m *Matching) augment(thing int) bool {
	for place := range m.at {
		if m.seen[place] || !m.fits(thing, place) {
			continue
		}
		m.seen[place] = true
		if len(m.at[place]) < m.capacity[place] {
			m.at[place] = append(m.at[place], thing)
			return true
		}
		for i, other := range m.at[place] {
			if m.augment(other) {
				m.at[place][i] = thing
				return true
			}
		}
	}
	return false
}

// At are the things at a place.
func (m *Matching) At(place int) []int { return m.at[place] }

// Short says of each place, after an Add that was false, whether it is one of
// those that are too few: the thing fits these alone, as do all things at them, and
// they are full (Hall 1935, "On representatives of subsets", Journal of the London
// Mathematical Society 10).
func (m *Matching) Short() []bool { return m.seen }

// Most is how many of some things can have a place of their own, each among those
// that fit it, of so many places.
func Most(fit [][]int, places int) int {
	capacity := make([]int, places)
	for p := range capacity {
		capacity[p] = 1
	}
	m := New(capacity, func(thing, place int) bool {
		for _, p := range fit[thing] {
			if p == place {
				return true
			}
		}
		return false
	})
	count := 0
	for thing := range fit {
		if m.Add(thing) {
			count++
		}
	}
	return count
}
