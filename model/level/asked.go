package level

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// Asked is what would arrive if a source were joined with destinations, of which
// the way through the bay is not known yet: their own cables at the rear count,
// cords and ties between do not, so that lengths and losses are at the least.
// Other inputs at the rear of the same ports are left out.
func (r *Room) Asked(source name.Point, destinations []name.Point) []Arrival {
	from, ok := r.ports[source]
	if !ok || from.Direction != studio.Output {
		return nil
	}
	a := asking{room: r, net: &net{places: 1}}
	a.add(from)
	var heard []studio.Port
	for _, p := range destinations {
		if to, ok := r.ports[p]; ok && to.Direction == studio.Input && a.net.input(p) < 0 {
			a.add(to)
			heard = append(heard, to)
		}
	}
	a.net.lack("the way through the bay: cords and ties are not counted")
	var all []Arrival
	for i, to := range heard {
		all = append(all, r.arrival(from, to, []hop{{a.net, 0, i}}))
	}
	return all
}

// Amplified is what would arrive of a source if amplifiers alone led to a destination,
// of which the way is not known yet: the whole working level.
func Amplified(source, destination studio.Port) Arrival {
	arrives := exactly(opened(source.Line))
	return Arrival{
		Source: source, Destination: destination, Wants: destination.Line.Level, Arrives: arrives,
		Over: arrives.Plus(-float64(destination.Line.Level)), Known: []string{"the way through amplifiers: no loss is counted there"},
	}
}

// asking is a net in the making, whose place 0 is somewhere in the bay.
type asking struct {
	room *Room
	net  *net
}

// add puts a port at a place of its own, at the end of its cables.
func (a *asking) add(p studio.Port) {
	place := a.net.places
	a.net.places++
	if p.Line.Balanced && TwoPoles(p.Line.Plug) {
		a.net.plugs = append(a.net.plugs, plug{place: place, at: p.Point})
	}
	t := terminal{p.Point, p.Line, place, p.Line.Kind != studio.LineUnknown}
	if p.Direction == studio.Output {
		a.net.outputs = append(a.net.outputs, t)
	} else {
		a.net.inputs = append(a.net.inputs, t)
	}
	joints := a.room.joints[p.Point]
	if len(joints) == 0 { // it hangs by a lead
		joints = []joint{{a: p.Point, wire: &wire{kind: a.room.cordKind(), length: a.room.options.Assume, estimated: true}}}
	}
	for _, j := range joints {
		if j.wire != nil {
			a.lay(p.Point, place, j)
		}
	}
}

// lay puts a cable between a port's place and the bay, the right way round.
func (a *asking) lay(port name.Point, place int, j joint) {
	c := cable{a: place, b: 0, kind: j.wire.kind, length: j.wire.length, cold: j.wire.cold, ends: [2]name.Point{j.a, j.b}, estimated: j.wire.estimated}
	if j.a != port {
		c.a, c.b = 0, place
	}
	a.net.cables = append(a.net.cables, c)
	for i, at := range []int{c.a, c.b} {
		if j.wire.plugs[i] {
			a.net.plugs = append(a.net.plugs, plug{place: at, at: c.ends[i]})
		}
	}
	if c.length == 0 {
		a.net.lack(fmt.Sprintf("the length of the cable from %s to %s", j.a, j.b))
	}
}
