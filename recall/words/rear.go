package words

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// rear is what is wired to one place: places whose signal arrives there, places
// that it goes on to, and jacks at the other end of a tie.
type rear struct {
	arrives, leaves, ties []name.Point
}

func (w *Words) wire() {
	change := func(p name.Point, f func(*rear)) {
		r := w.rear[p]
		f(&r)
		w.rear[p] = r
	}
	named := func(a, b name.Point, cable string) {
		w.cables[[2]name.Point{a, b}], w.cables[[2]name.Point{b, a}] = cable, cable
	}
	for _, wire := range w.studio.Wires {
		named(wire.From, wire.To, wire.Run.Cable)
		change(wire.To, func(r *rear) { r.arrives = append(r.arrives, wire.From) })
		change(wire.From, func(r *rear) { r.leaves = append(r.leaves, wire.To) })
	}
	for _, t := range w.studio.Ties {
		named(t.A, t.B, t.Run.Cable)
		change(t.A, func(r *rear) { r.ties = append(r.ties, t.B) })
		change(t.B, func(r *rear) { r.ties = append(r.ties, t.A) })
	}
}

// Rear are the places wired to the rear of a jack, or to a port: those whose
// signal arrives, those that it goes on to, and those at the other end of a tie.
func (w *Words) Rear(p name.Point) []name.Point {
	r := w.rear[p]
	return slices.Concat(r.arrives, r.leaves, r.ties)
}

// Behind says what is wired to the rear of a jack, or to a port: "from interface
// out 1", "to compressor in 1", "tie to far 1 top"; empty where nothing is.
func (w *Words) Behind(p name.Point) string {
	r := w.rear[p]
	var phrases []string
	if len(r.arrives) > 0 {
		phrases = append(phrases, Put("from {places}", "places", w.Points(r.arrives)))
	}
	if len(r.leaves) > 0 {
		phrases = append(phrases, Put("to {places}", "places", w.Points(r.leaves)))
	}
	if len(r.ties) > 0 {
		phrases = append(phrases, Put("tie to {places}", "places", w.Points(r.ties)))
	}
	return List(phrases)
}

// Carries says what a cord between two places is for, judged by the wires right
// behind them: "interface out 1 -> compressor in 1". A place may be a
// port, of a lead. It is empty where the rear tells nothing.
func (w *Words) Carries(a, b name.Point) string {
	a, b = w.Flow(a, b)
	from, to := w.arriving(a), w.leaving(b)
	switch {
	case from != "" && to != "":
		return from + " -> " + to
	case from != "" && !w.onlyTied(a): // a tie alone says no more than the jack does
		return Put("from {source}", "source", from)
	case to != "" && !w.onlyTied(b):
		return Put("feeds {destination}", "destination", to)
	}
	return ""
}

// Flow puts the end of a cord by which a signal comes in first, judged by the wires
// right behind both. Ends of which the rear tells nothing stay in their order.
func (w *Words) Flow(a, b name.Point) (from, to name.Point) {
	ways := [][2]name.Point{{a, b}, {b, a}}
	for _, way := range ways {
		if w.arriving(way[0]) != "" && w.leaving(way[1]) != "" {
			return way[0], way[1]
		}
	}
	for _, way := range ways {
		if w.arriving(way[0]) != "" && !w.onlyTied(way[0]) || w.leaving(way[1]) != "" && !w.onlyTied(way[1]) {
			return way[0], way[1]
		}
	}
	return a, b
}

func (w *Words) onlyTied(p name.Point) bool {
	r := w.rear[p]
	return len(r.ties) > 0 && len(r.arrives) == 0 && len(r.leaves) == 0
}

// arriving is what a cord finds at a place that is a source.
func (w *Words) arriving(p name.Point) string {
	r := w.rear[p]
	switch {
	case !w.bays[p.Owner]:
		return w.port(p, studio.Output)
	case len(r.arrives) > 0:
		return w.Points(r.arrives)
	case w.onlyTied(p):
		return w.Points(r.ties)
	}
	return ""
}

// leaving is where a signal goes from a place that is a destination.
func (w *Words) leaving(p name.Point) string {
	r := w.rear[p]
	switch {
	case !w.bays[p.Owner]:
		return w.port(p, studio.Input)
	case len(r.leaves) > 0:
		return w.Points(r.leaves)
	case w.onlyTied(p):
		return w.Points(r.ties)
	}
	return ""
}

// port is a port of gear, where it has the direction.
func (w *Words) port(p name.Point, d studio.Direction) string {
	if w.direction(p) != d {
		return ""
	}
	return w.Point(p)
}
