package arrange

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// port is an output or input that comes to the bays.
type port struct {
	point   name.Point
	kind    studio.LineKind
	phantom bool
	// gear counts gear, then matrices, in the order of the file: ports stand in
	// this order where nothing speaks for another.
	gear int
	// jack is where it is now; zero where it is on no bay.
	jack name.Point
	// follows is set where it is the next of the same kind of the same gear after the
	// port before it in the list; right where it is the even one of two, of which
	// the other comes to the bays as well: its left side (common practice, no
	// published source).
	follows, right bool
	// turned is set where it stands in the row of the others: an input above, or an output
	// below.
	turned bool
	// straight is set where it belongs to a microphone line and comes to no bay.
	straight bool
	// own is the input of the same unit that leads to an output, by number; none where
	// there is none.
	own int
	// home is the zone that it belongs to; none where that is not known.
	home int
	// place is the one that it stands in, with walls around; 0 for none.
	place int
}

// link finds which ports follow each other, and whether their kinds differ.
func (r *room) link() {
	var kinds []studio.LineKind
	for _, ports := range [][]port{r.outputs, r.inputs} {
		for n := range ports {
			p := &ports[n]
			p.follows = n > 0 && follows(ports[n-1].point, p.point)
			p.right = p.follows && p.point.Number%2 == 0
			kinds = append(kinds, p.kind)
		}
	}
	r.mixed = len(slices.Compact(kinds)) > 1
	r.findOwn()
}

// findOwn finds the input that leads to each output of a unit: the one of its number,
// of those that pass to it.
func (r *room) findOwn() {
	for o := range r.outputs {
		r.outputs[o].own = none
	}
	for i, outputs := range r.through(func(g studio.Gear) []studio.Pass { return g.Passes }) {
		for _, o := range outputs {
			in, out := r.inputs[i].point, &r.outputs[o]
			if in.Owner == out.point.Owner && in.Number == out.point.Number && in.Part == name.Whole && out.point.Part == name.Whole {
				out.own = i
			}
		}
	}
}

func (r *room) findPorts(also []name.Point) {
	at := r.wiredTo()
	wired := false
	for _, jack := range at {
		wired = wired || r.arranged(jack)
	}
	r.wired = wired
	take := func(p port, output bool) {
		jack, has := at[p.point]
		switch {
		case has && !r.arranged(jack):
			return // it stays, or goes elsewhere
		case !has && wired && !fixed(also, p.point):
			return
		case p.kind == studio.LoudspeakerLevel:
			return
		}
		p.jack = jack
		if output {
			r.outputs = append(r.outputs, p)
		} else {
			r.inputs = append(r.inputs, p)
		}
	}
	for n, g := range r.studio.Gear {
		for _, p := range g.Ports {
			take(port{point: p.Point, kind: p.Line.Kind, phantom: p.Line.Phantom, gear: n}, p.Direction == studio.Output)
		}
	}
	for n, m := range r.studio.Matrices {
		n += len(r.studio.Gear)
		for i := 1; i <= m.Inputs; i++ {
			take(port{point: m.In(i), kind: orLine(m.Line.Kind), gear: n}, false)
		}
		for o := 1; o <= m.Outputs; o++ {
			take(port{point: m.Out(o), kind: orLine(orKind(m.OutputsLine.Kind, m.Line.Kind)), gear: n}, true)
		}
	}
}

func orKind(k, other studio.LineKind) studio.LineKind {
	if k == studio.LineUnknown {
		return other
	}
	return k
}

func orLine(k studio.LineKind) studio.LineKind { return orKind(k, studio.LineLevel) }

// wiredTo is the other end of the wire of each port.
func (r *room) wiredTo() map[name.Point]name.Point {
	at := map[name.Point]name.Point{}
	for _, w := range r.studio.Wires {
		at[w.From], at[w.To] = w.To, w.From
	}
	return at
}

// findInserts pairs each send with its return, unless that rule is waived.
func (r *room) findInserts(q *Request) {
	r.inserts = nil
	if slices.Contains(q.Waived, InsertsTogether) {
		return
	}
	for o, send := range r.outputs {
		if send.point.Part != name.Send {
			continue
		}
		back := send.point
		back.Part = name.Return
		if i := slices.IndexFunc(r.inputs, func(p port) bool { return p.point == back }); i >= 0 {
			r.inserts = append(r.inserts, pairing{o, i})
		}
	}
}
