package objective

import (
	"cmp"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/matching"
	"bayhand/model/studio"
)

// assignKinds gives each new cord a kind of the stock; false where it does not
// suffice. A balanced line gets a cord of two poles only where one of three is not left
// for it: its cold leg would be grounded.
func (m *mover) assignKinds() bool {
	left := slices.Clone(m.problem.Stock.Counts)
	m.kinds = make([]int, len(m.to.Cords))
	var fresh []int // new cords
	for c, i := range m.from {
		if i != graph.None {
			m.kinds[c] = m.problem.Stock.Old[i]
			if left[m.kinds[c]]--; left[m.kinds[c]] < 0 {
				return false // owed to others
			}
			continue
		}
		fresh = append(fresh, c)
	}
	// The longest ways choose first, each the shortest that reaches.
	slices.SortStableFunc(fresh, func(a, b int) int {
		return cmp.Compare(m.problem.Stock.NeedOf(m.to.Cords[b]), m.problem.Stock.NeedOf(m.to.Cords[a]))
	})
	three := m.needThreePoles(fresh)
	for {
		kinds, ok := m.assign(fresh, left, three)
		if ok {
			for k := range left {
				for _, c := range kinds.At(k) {
					m.kinds[c] = k
				}
			}
			return true
		}
		if len(three) == 0 {
			return false
		}
		three = three[:len(three)-1]
	}
}

// assign gives cords kinds of which so many are left, and some of them none of two poles.
func (m *mover) assign(cords, left, three []int) (*matching.Matching, bool) {
	kinds := matching.New(left, func(c, k int) bool {
		return m.problem.Stock.Goes(k, m.to.Cords[c]) && (m.problem.Stock.Kinds[k].Poles != 2 || !slices.Contains(three, c))
	})
	for _, c := range cords {
		if !kinds.Add(c) {
			return nil, false
		}
	}
	return kinds, true
}

// needThreePoles are those of some cords that carry a balanced line, where cords of two
// poles are owned as well.
func (m *mover) needThreePoles(cords []int) []int {
	if !slices.ContainsFunc(m.problem.Stock.Kinds, func(k studio.StockCord) bool { return k.Poles == 2 }) {
		return nil
	}
	balanced := map[int]bool{}
	for _, g := range m.problem.Studio.Gear {
		for _, p := range g.Ports {
			if at, ok := m.Number[p.Point]; ok && p.Line.Balanced {
				balanced[m.Node[at]] = true
			}
		}
	}
	state := m.problem.State(m.to)
	return slices.DeleteFunc(slices.Clone(cords), func(c int) bool {
		net := state.NetOf(m.Jacks[m.to.Cords[c][0]].Node)
		return !slices.ContainsFunc(state.NodesOf(net), func(n int) bool { return balanced[n] })
	})
}
