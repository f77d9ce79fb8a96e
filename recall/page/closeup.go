package page

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// around is how many columns are shown on each side of a jack.
const around = 2

// closeUps shows each bay that the next move touches, near its jacks: a few
// columns, large enough to be read from across the room. They are for eyes only:
// what they show stands in words beside them. Two jacks that stand close share
// one.
func (h drawer) closeUps(plugs plugs, next *move) []bay {
	if next == nil {
		return nil
	}
	var all []bay
	for _, b := range h.page.Studio.Bays {
		for _, w := range windows(b, next.ends) {
			one := h.bay(b, w[0], w[1], "", plugs)
			one.Near = h.page.strips.of(b).near(w[0], w[1], pitchOf(b))
			one.Strips = ""
			all = append(all, one)
		}
	}
	// The first end stands first, as the hands go.
	slices.SortStableFunc(all, func(x, y bay) int { return x.first(next.ends) - y.first(next.ends) })
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
func (b bay) first(ends []name.Point) int {
	for i, end := range ends {
		if slices.ContainsFunc(b.Columns, func(col column) bool { return col.has(end.String()) }) {
			return i
		}
	}
	return len(ends)
}

func (c column) has(jack string) bool { return c.Jacks[0].Name == jack || c.Jacks[1].Name == jack }
