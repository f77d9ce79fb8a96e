package page

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// closeUp is a few columns of a bay around jacks of the next move, large enough
// to be read from across the room. It is for eyes only: what it shows stands in
// words beside it.
type closeUp struct {
	bay
}

// around is how many columns are shown on each side of a jack.
const around = 2

// closeUps shows each bay that the next move touches, near its jacks. Two jacks
// that stand close share one.
func (p *page) closeUps(plugs plugs, next *move) []closeUp {
	if next == nil {
		return nil
	}
	var all []closeUp
	for _, b := range p.Studio.Bays {
		for _, w := range windows(b, next.ends) {
			all = append(all, closeUp{p.bay(b, w[0], w[1], "", plugs)})
		}
	}
	// The first end stands first, as the hands go.
	slices.SortStableFunc(all, func(x, y closeUp) int { return x.first(next.ends) - y.first(next.ends) })
	return all
}

// windows are the columns to show, from and to.
func windows(b studio.Bay, ends []name.Point) [][2]int {
	var columns []int
	for _, end := range ends {
		if end.Owner == b.Name {
			columns = append(columns, end.Number)
		}
	}
	slices.Sort(columns)
	var all [][2]int
	for _, n := range columns {
		from, to := max(n-around, 1), min(n+around, b.Pairs())
		if last := len(all) - 1; last >= 0 && n-around <= all[last][1] && to-all[last][0] < 2*(2*around+1) {
			all[last][1] = to
			continue
		}
		all = append(all, [2]int{from, to})
	}
	return all
}

// first is the number of the first of the ends that is shown.
func (c closeUp) first(ends []name.Point) int {
	for i, end := range ends {
		if slices.ContainsFunc(c.Columns, func(col column) bool { return col.has(end.String()) }) {
			return i
		}
	}
	return len(ends)
}

func (c column) has(jack string) bool { return c.Jacks[0].Name == jack || c.Jacks[1].Name == jack }
