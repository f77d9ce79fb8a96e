package cut

import (
	"math"
	"slices"
)

// bid raises the prices of what the demands use most until they prove that there is
// too little, and says whether they do.
func (m *market) bid(work int64) bool {
	used := make([]float64, len(m.prices))
	for round := 1; m.tree.work < work; round++ {
		for i := range m.demands {
			m.price(used, round)
			d := &m.demands[i]
			cost, use := m.cheapest(d)
			if cost < d.ways.cost(m.prices) {
				d.ways.add(use)
			}
			for _, r := range use {
				used[r]++
			}
		}
		if m.suffices(used, round) {
			return false
		}
		if m.cuts(used, round) {
			return true
		}
		if m.price(used, round); m.proves(m.demands) || round%4 == 0 && m.better(work) {
			return true
		}
	}
	return false
}

// price sets the price of each resource by how often it was used for each that there
// is, after so many rounds. What was never used is not quite free, so that ways without
// detours come first.
func (m *market) price(used []float64, round int) {
	for r, u := range used {
		m.prices[r] = 1e-6
		if u > 0 {
			m.prices[r] = math.Exp2(8*u/(m.counts[r]*float64(round))) / m.counts[r]
		}
	}
	m.reprice()
}

// suffices says whether there is enough of everything for the mean of all rounds, so
// that no prices prove anything.
func (m *market) suffices(used []float64, round int) bool {
	for r, u := range used {
		if u > m.counts[r]*float64(round) {
			return false
		}
	}
	return true
}

// cuts tries what is used most as a cut, at some thresholds, and leaves its prices
// where it proves something.
func (m *market) cuts(used []float64, round int) bool {
	var loads []float64
	for r, u := range used {
		if u > 0 {
			loads = append(loads, u/m.counts[r])
		}
	}
	slices.Sort(loads)
	loads = slices.Compact(loads)
	slices.Reverse(loads)
	for _, least := range loads[:min(len(loads), 4+round/4)] {
		for r := range m.prices {
			m.prices[r] = 0
			if used[r] > 0 && used[r]/m.counts[r] >= least {
				m.prices[r] = 1
			}
		}
		if m.proves(m.demands) {
			return true
		}
	}
	return false
}

// better leaves prices out as long as what the demands cost grows against what all is
// worth, and says whether that proves something.
func (m *market) better(work int64) bool {
	need, have := m.sums(m.demands)
	if need < have*3/4 {
		return false
	}
	for r, was := range m.prices {
		if was < 1 {
			m.prices[r] = 0
			continue
		}
		if m.tree.work > work {
			return false
		}
		m.prices[r] = 0
		if h := worth(m); h > 0 {
			if n, better := costs(m, m.demands, need/have*h); better {
				if need, have = n, h; need > have*(1+margin) {
					return true
				}
				continue
			}
		}
		m.prices[r] = was
	}
	return m.proves(m.demands)
}

// sums are what some demands cost together at least, and what all there is is worth.
func (m *market) sums(demands []demand) (need, have float64) {
	m.reprice()
	for i := range demands {
		cost, _ := m.cheapest(&demands[i])
		need += cost
	}
	return need, worth(m)
}

// worth is what all there is is worth.
func worth(m *market) float64 {
	have := 0.0
	for r, price := range m.prices {
		if price > 0 {
			have += price * m.counts[r]
		}
	}
	return have
}

// margin is how much more demands must cost than there is: what floating point could
// make of equal sums is less.
const margin = 1e-6

// proves says whether some demands cost more than all there is.
func (m *market) proves(demands []demand) bool {
	_, more := costs(m, demands, math.Nextafter(worth(m)*(1+margin), math.Inf(1)))
	return more
}
