package check

import (
	"maps"
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// flow is where signals go: from outputs to the inputs that hear them, and from
// inputs through gear and software to outputs. An edge may have the line of the
// file that asks for it.
type flow struct {
	next map[name.Point][]name.Point
	key  map[[2]name.Point]string
	// meant are ports through which loops are allowed.
	meant []name.Point
}

func (f flow) add(from, to name.Point, key string) {
	edge := [2]name.Point{from, to}
	_, had := f.key[edge]
	if had || slices.Contains(f.meant, from) || slices.Contains(f.meant, to) {
		return
	}
	f.next[from] = append(f.next[from], to)
	f.key[edge] = key
}

func (f flow) clone() flow {
	next := map[name.Point][]name.Point{}
	for from, to := range f.next {
		next[from] = slices.Clone(to)
	}
	return flow{next, maps.Clone(f.key), f.meant}
}

// flow is what the session's own lines, its gear and its software carry.
func (v *sessionView) flow() flow {
	f := flow{map[name.Point][]name.Point{}, map[[2]name.Point]string{}, v.session.Loops}
	for _, w := range v.session.Wants {
		f.add(w.Source, w.Destination, orElse(w.Key, "connect"))
	}
	for _, g := range v.studio.Gear {
		for _, p := range g.Passes {
			f.add(p.In, p.Out, "")
		}
	}
	for _, p := range v.session.Inside {
		f.add(p.In, p.Out, "inside")
	}
	return f
}

// withRest adds what inputs hear at rest that the session says nothing of.
func (v *sessionView) withRest(f flow) flow {
	f = f.clone()
	named := map[name.Point]bool{}
	for _, w := range v.session.Wants {
		named[w.Destination] = true
	}
	for _, p := range v.session.Silent {
		named[p] = true
	}
	for _, g := range v.studio.Gear {
		for _, p := range g.Ports {
			if p.Direction != studio.Input || named[p.Point] {
				continue
			}
			for _, source := range v.rest.Hears(p.Point) {
				f.add(source, p.Point, "")
			}
		}
	}
	return f
}

// has says whether every edge of a round is in the flow.
func (f flow) has(round []name.Point) bool {
	for i, p := range round {
		if _, ok := f.key[[2]name.Point{p, round[(i+1)%len(round)]}]; !ok {
			return false
		}
	}
	return true
}

// keyOfWant is the line of the first edge of a round that a line asks for.
func (v *sessionView) keyOfWant(round []name.Point) string {
	f := v.flow()
	for i, p := range round {
		if key := f.key[[2]name.Point{p, round[(i+1)%len(round)]}]; key != "" {
			return key
		}
	}
	return "connect"
}

// rounds are shortest cycles, so that every port that lies on one is on one of
// them or on one that shares a port with it. It takes time of the edges for
// each port.
func (f flow) rounds() [][]name.Point {
	var all [][]name.Point
	told := map[name.Point]bool{}
	for _, start := range slices.SortedFunc(maps.Keys(f.next), name.Point.Compare) {
		if told[start] {
			continue
		}
		round := f.shortest(start)
		if slices.ContainsFunc(round, func(p name.Point) bool { return told[p] }) {
			continue
		}
		for _, p := range round {
			told[p] = true
		}
		if round != nil {
			all = append(all, round)
		}
	}
	return all
}

// shortest goes breadth first from a port until it comes back to it; nil if it
// does not.
func (f flow) shortest(start name.Point) []name.Point {
	came := map[name.Point]name.Point{}
	for queue := []name.Point{start}; len(queue) > 0; queue = queue[1:] {
		at := queue[0]
		for _, to := range f.next[at] {
			if to == start {
				return f.trail(start, at, came)
			}
			if _, seen := came[to]; !seen {
				came[to] = at
				queue = append(queue, to)
			}
		}
	}
	return nil
}

func (f flow) trail(start, last name.Point, came map[name.Point]name.Point) []name.Point {
	round := []name.Point{last}
	for last != start {
		last = came[last]
		round = append(round, last)
	}
	slices.Reverse(round)
	return round
}

// reached are all ports that a signal at one comes to, itself among them, in the
// order in which it does.
func (f flow) reached(start name.Point) []name.Point {
	all := []name.Point{start}
	seen := map[name.Point]bool{start: true}
	for i := 0; i < len(all); i++ {
		for _, to := range f.next[all[i]] {
			if !seen[to] {
				seen[to] = true
				all = append(all, to)
			}
		}
	}
	return all
}
