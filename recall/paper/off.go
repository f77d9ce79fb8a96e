package paper

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/level"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/recall/words"
)

// offLevels are the places on the session's lines at which another level arrives than
// is wanted, by 3 dB (level.FarOver) at the least, in the order of the session. Neighbours of which
// the same is said stand together.
func offLevels(room *heard.Room, w *words.Words, s *session.Session, in patch.Patch) []string {
	type group struct {
		sources, destinations []name.Point
		said                  string
	}
	var groups []group
	seen := map[[2]name.Point]bool{}
	for _, chain := range level.New(room, in, level.Options{}).Chains(s) {
		for _, link := range chain.Links {
			a := link.Arrival
			from, to := a.Source.Point, a.Destination.Point
			if seen[[2]name.Point{from, to}] || !a.Far() {
				continue
			}
			seen[[2]name.Point{from, to}] = true
			said := words.Arrives(a)
			at := slices.IndexFunc(groups, func(g group) bool {
				return g.said == said && g.sources[0].Owner == from.Owner && g.destinations[0].Owner == to.Owner
			})
			if at < 0 {
				at, groups = len(groups), append(groups, group{said: said})
			}
			groups[at].sources = append(groups[at].sources, from)
			groups[at].destinations = append(groups[at].destinations, to)
		}
	}
	var lines []string
	for _, g := range groups {
		lines = append(lines, words.Put("{inputs}, from {outputs}: {said}", "inputs", w.Points(once(g.destinations)), "outputs", w.Points(once(g.sources)), "said", g.said))
	}
	return lines
}

// once leaves out points that were there before.
func once(points []name.Point) []name.Point {
	var all []name.Point
	for _, p := range points {
		if !slices.Contains(all, p) {
			all = append(all, p)
		}
	}
	return all
}
