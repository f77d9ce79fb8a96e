package problem

import (
	"slices"

	"bayhand/model/graph"
)

// Small is how many jacks a room has in which a proof is mostly within reach.
const Small = 200

// Home is how many jacks a room has at least that is no more like those at home, where any search
// for a plan takes hardly longer than to begin it.
const Home = 100

// Sound says whether a draft could be plugged today: no faulty jack, no relay
// output with two inputs, no more dummies than are owned.
func (t *Problem) Sound(d graph.Patch) bool {
	if slices.ContainsFunc(d.Plugs(), func(j int) bool { return !t.Usable(j) }) || slices.ContainsFunc(d.Leads, func(l [2]int) bool { return misplaced(t, l) }) {
		return false
	}
	outputs := map[int]bool{}
	for _, x := range d.Crosses {
		if outputs[t.Crosses[x].Output] {
			return false
		}
		outputs[t.Crosses[x].Output] = true
	}
	owned := t.Dummies
	return owned < 0 || len(d.Dummies) <= owned
}

// Gives says whether a draft gives the session, by package heard, and goes the
// ways that it asks for.
func (t *Problem) Gives(d graph.Patch) bool {
	return !t.Parted(d) && !d.Shared() && len(t.Judge.Faults(t.Room.Hear(t.Named(d)))) == 0 && t.KeepsWays(d)
}

// KeepsWays says whether every want goes the way that it asks for.
func (t *Problem) KeepsWays(d graph.Patch) bool {
	if !t.AsksForWays() {
		return true
	}
	n := t.State(d)
	for _, w := range t.Session.Wants {
		if len(w.Via)+len(w.Avoid) > 0 {
			if _, ok := t.WayOf(n, w); !ok {
				return false
			}
		}
	}
	return true
}

// Parts are what a draft holds, in the order in which it is tried without.
func (t *Problem) Parts(d graph.Patch) []graph.Part {
	var fresh, old []graph.Part
	sort := func(p graph.Part, in bool) {
		if in {
			old = append(old, p)
			return
		}
		fresh = append(fresh, p)
	}
	for _, x := range d.Crosses {
		_, in := slices.BinarySearch(t.Present.Crosses, x)
		sort(graph.Part{Kind: graph.Cross, A: x}, in)
	}
	for _, c := range d.Cords {
		sort(graph.Part{Kind: graph.Cord, A: c[0], B: c[1]}, slices.Contains(t.Present.Cords, c))
	}
	for _, l := range d.Leads {
		sort(graph.Part{Kind: graph.Lead, A: l[0], B: l[1]}, slices.Contains(t.Present.Leads, l))
	}
	for _, j := range d.Dummies {
		sort(graph.Part{Kind: graph.Dummy, A: j}, slices.Contains(t.Present.Dummies, j))
	}
	return append(fresh, old...)
}
