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
	from    map[name.Point][]int // the wants of a source
	behind  map[name.Point][]int // the wants that a chain goes on with behind an input
	into    map[name.Point]bool  // outputs that a chain could reach
	written []session.Want
	count   int
}

func newWeaver(s *studio.Studio, wants []want) *weaver {
	w := &weaver{
		wants:  slices.Clone(wants),
		used:   make([]bool, len(wants)),
		from:   map[name.Point][]int{},
		behind: map[name.Point][]int{},
		into:   map[name.Point]bool{},
	}
	order := places(s)
	slices.SortStableFunc(w.wants, func(a, b want) int { return order[a.source] - order[b.source] })
	for i, want := range w.wants {
		w.from[want.source] = append(w.from[want.source], i)
	}
	through := hops(s)
	for _, want := range w.wants {
		for _, i := range w.onward(through[want.destination]) {
			w.behind[want.destination] = append(w.behind[want.destination], i)
			w.into[w.wants[i].source] = true
		}
	}
	return w
}

// onward are the wants that a chain goes on with from the outputs of a hop. From
// several outputs it goes on if each has one want, and the destinations stand in
// a row, as one range says them.
func (w *weaver) onward(outs []name.Point) []int {
	if len(outs) == 1 {
		return w.from[outs[0]]
	}
	var found []int
	var row []name.Point
	for _, out := range outs {
		if len(w.from[out]) != 1 {
			return nil
		}
		found = append(found, w.from[out][0])
		row = append(row, w.wants[w.from[out][0]].destination)
	}
	if len(name.Fold(row)) != 1 {
		return nil
	}
	return found
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
	return len(w.after(i)) > 0
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
	return w.unused(w.behind[w.wants[i].destination])
}

func (w *weaver) unused(of []int) []int {
	var found []int
	for _, i := range of {
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
	for _, i := range w.unused(w.from[w.wants[first].source]) {
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
