package cut

import (
	"math"
	"slices"
)

// ways are some that were found for a demand, under any prices: none costs less than the
// cheapest does.
type ways struct {
	found [][]int // the resources of each
	next  int
	// at are the prices at which the cheapest was looked for last, and least what it cost.
	at    []float64
	least float64
}

// waysKept are how many are kept, the last that were found.
const waysKept = 12

// cost is what the cheapest of them costs.
func (w *ways) cost(prices []float64) float64 {
	least := math.Inf(1)
	for _, use := range w.found {
		cost := 0.0
		for _, r := range use {
			cost += prices[r]
		}
		least = min(least, cost)
	}
	return least
}

// add keeps one more.
func (w *ways) add(use []int) {
	if len(w.found) < waysKept {
		w.found = append(w.found, use)
		return
	}
	w.found[w.next] = use
	w.next = (w.next + 1) % waysKept
}

// costOf is what a demand costs at least. At the prices of the last time, it is known.
func costOf(m *market, d *demand) float64 {
	w := d.ways
	if slices.Equal(w.at, m.prices) {
		return w.least
	}
	known := w.cost(m.prices)
	cost, use := m.cheapest(d)
	if cost < known {
		w.add(use)
	}
	w.at, w.least = append(w.at[:0], m.prices...), cost
	return cost
}

// costs says what some demands cost together at least, where that is so much or more. The
// cheapest way of one is looked for only as long as no ways that are known say that it is less.
func costs(m *market, demands []demand, least float64) (need float64, isMore bool) {
	m.reprice()
	each := make([]float64, len(demands))
	for i := range demands {
		each[i] = demands[i].ways.cost(m.prices)
	}
	for i := range demands {
		if sum(each) < least {
			return 0, false
		}
		each[i] = costOf(m, &demands[i])
	}
	need = sum(each)
	return need, need >= least
}

func sum(all []float64) float64 {
	total := 0.0
	for _, one := range all {
		total += one
	}
	return total
}
