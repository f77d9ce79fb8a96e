package shared

import (
	"cmp"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// Alike are the shared lines of which one does for another, in groups of two or more:
// ties between the same rows of the same bays, with no gear on them and no normal at
// their jacks. A group has its lines in the order of their jacks; groups are sorted too.
func (l Lines) Alike() [][]string {
	groups := map[string][]string{}
	for _, p := range l.jacks {
		place := l.place[p]
		kind := l.kinds[place]
		if kind != "" && !slices.Contains(groups[kind], place) {
			groups[kind] = append(groups[kind], place)
		}
	}
	var all [][]string
	for _, group := range groups {
		if len(group) > 1 {
			all = append(all, group)
		}
	}
	slices.SortFunc(all, func(a, b []string) int { return cmp.Compare(a[0], b[0]) })
	return all
}

// kind is the rows that a line leads to; empty where a normal is at one of its jacks, or a
// socket of a box: these do not do for each other.
func kind(s *studio.Studio, points []name.Point) string {
	var rows []string
	for _, p := range points {
		if !s.IsJack(p) || s.BayNamed(p.Owner).Modes[p.Number-1] != studio.Isolated {
			return ""
		}
		rows = append(rows, p.Owner+"/"+p.Stem)
	}
	slices.Sort(rows)
	return strings.Join(rows, " ")
}
