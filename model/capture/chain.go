package capture

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// want is one input and the output that it hears.
type want struct {
	source, destination name.Point
}

// inputs are the gear inputs of a studio, in the order of its file.
func inputs(s *studio.Studio) []name.Point {
	var points []name.Point
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			if p.Direction == studio.Input {
				points = append(points, p.Point)
			}
		}
	}
	return points
}

// chains puts wants in the order in which a person would write them: from each
// source, in the order of the studio, along the signal; the wants of one line
// share a chain.
func chains(s *studio.Studio, wants []want) []session.Want {
	w := newWeaver(s, wants)
	for i := range w.wants {
		if !w.used[i] && !w.follows(i) {
			w.chain(i)
		}
	}
	// What is left stands in rounds: each may be the first.
	for i := range w.wants {
		if !w.used[i] {
			w.chain(i)
		}
	}
	return w.written
}

// weaver makes chains of wants.
type weaver struct {
	wants   []want
	used    []bool
	hops    map[name.Point]name.Point // from an input to the output that a chain goes on from
	from    map[name.Point][]int      // the wants of a source
	into    map[name.Point]bool       // outputs that a chain could reach
	written []session.Want
	count   int
}

func newWeaver(s *studio.Studio, wants []want) *weaver {
	w := &weaver{
		wants: slices.Clone(wants),
		used:  make([]bool, len(wants)),
		hops:  hops(s),
		from:  map[name.Point][]int{},
		into:  map[name.Point]bool{},
	}
	order := places(s)
	slices.SortStableFunc(w.wants, func(a, b want) int { return order[a.source] - order[b.source] })
	for i, want := range w.wants {
		w.from[want.source] = append(w.from[want.source], i)
		if out, ok := w.hops[want.destination]; ok {
			w.into[out] = true
		}
	}
	return w
}

// places numbers the ports of a studio in the order of its file.
func places(s *studio.Studio) map[name.Point]int {
	order := map[name.Point]int{}
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			order[p.Point] = len(order)
		}
	}
	return order
}

// follows says whether a want can stand behind another one in a chain.
func (w *weaver) follows(i int) bool { return w.into[w.wants[i].source] }

// goesOn says whether a want's chain goes on behind its destination.
func (w *weaver) goesOn(i int) bool {
	out, ok := w.hops[w.wants[i].destination]
	return ok && slices.ContainsFunc(w.from[out], func(j int) bool { return !w.used[j] })
}

// chain writes the line that begins with a want. Where the signal splits, the
// branches that end there stand in one pair of brackets; each that goes on
// through more gear begins a line of its own.
func (w *weaver) chain(first int) {
	var on []int
	w.take(first, 0)
	if w.goesOn(first) {
		on = w.along(first)
	} else {
		w.split(first)
	}
	w.count++
	for _, i := range on {
		if !w.used[i] {
			w.chain(i)
		}
	}
}

// along goes on behind the first want of a chain to its end, and returns the
// branches there that want lines of their own.
func (w *weaver) along(at int) []int {
	for hop := 1; ; hop++ {
		next := w.after(at)
		if len(next) != 1 {
			return w.endIn(next, hop)
		}
		at = next[0]
		w.take(at, hop)
	}
}

// after are the unused wants behind a want.
func (w *weaver) after(i int) []int {
	out, ok := w.hops[w.wants[i].destination]
	if !ok {
		return nil
	}
	return w.unused(out)
}

func (w *weaver) unused(source name.Point) []int {
	var found []int
	for _, i := range w.from[source] {
		if !w.used[i] {
			found = append(found, i)
		}
	}
	return found
}

// endIn ends a chain in those of its branches that go no further, and returns
// the others.
func (w *weaver) endIn(branches []int, hop int) (on []int) {
	for _, i := range branches {
		if w.goesOn(i) {
			on = append(on, i)
			continue
		}
		w.take(i, hop)
	}
	return on
}

// split joins the other wants of a source that go no further to the first.
func (w *weaver) split(first int) {
	for _, i := range w.unused(w.wants[first].source) {
		if !w.goesOn(i) {
			w.take(i, 0)
		}
	}
}

func (w *weaver) take(i, hop int) {
	w.used[i] = true
	w.written = append(w.written, session.Want{
		Source:      w.wants[i].source,
		Destination: w.wants[i].destination,
		Chain:       w.count,
		Hop:         hop,
	})
}
