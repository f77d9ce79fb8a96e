package arrange

import (
	"cmp"
	"slices"
)

// Point is a layout on the curve of plugs against lines and, in a room that is wired,
// cables to move. Its plugs are those of all sessions, as the sum over columns has them.
type Point struct {
	Lines int     `json:"lines"`
	Plugs float64 `json:"plugs"`
	Moves int     `json:"moves"`
}

// tidied are the layouts for other prices of a line.
func tidied(q Request) ([]*Layout, error) {
	var all []*Layout
	for n, tidy := range []int{0, 2, 5, 10, 20} {
		q.tell("weighing lines against plugs", n, 5)
		other := q
		other.Tidy, other.Progress, other.Effort = tidy, nil, q.aside()
		found, err := candidates(other)
		if err != nil {
			return nil, err
		}
		all = append(all, found...)
	}
	return all, nil
}

// curve is what fewer lines, and fewer cables to move, cost in plugs: those layouts that
// no other one beats in all of them.
func curve(layouts []*Layout) []Point {
	var all []Point
	for _, l := range layouts {
		all = append(all, Point{l.columns.lines(), float64(l.columns.plugs()), l.columns.moves()})
	}
	slices.SortFunc(all, func(a, b Point) int {
		return cmp.Or(cmp.Compare(a.Lines, b.Lines), cmp.Compare(a.Plugs, b.Plugs), cmp.Compare(a.Moves, b.Moves))
	})
	kept := []Point{}
	for _, p := range all {
		beaten := func(k Point) bool { return k.Lines <= p.Lines && k.Plugs <= p.Plugs && k.Moves <= p.Moves }
		if !slices.ContainsFunc(kept, beaten) {
			kept = append(kept, p)
		}
	}
	return kept
}
