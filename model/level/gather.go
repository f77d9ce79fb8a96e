package level

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/disjoint"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// twoPolePlugs are the words of the trade for plugs without a ring: the
// concentric plugs of IEC 60603-11 without one, and the phono plug of
// IEC 60603-14, under both of its names.
var twoPolePlugs = []string{"ts", "phono", "rca", "two-pole"}

// TwoPoles says whether a plug has no contact for a cold leg.
func TwoPoles(plug string) bool { return slices.Contains(twoPolePlugs, strings.ToLower(plug)) }

// netOf is the net that a point is on.
func (r *Room) netOf(p name.Point) *net {
	if n, ok := r.nets[p]; ok {
		return n
	}
	points := r.state.Net(p)
	n := r.gather(points)
	for _, q := range points {
		r.nets[q] = n
	}
	return n
}

// gathering makes a net of points that are joined.
type gathering struct {
	room   *Room
	net    *net
	number map[name.Point]int
	joined disjoint.Sets
	// place is that of each root.
	place map[int]int
}

func (r *Room) gather(points []name.Point) *net {
	g := &gathering{room: r, net: &net{}, number: map[name.Point]int{}, joined: disjoint.New(len(points)), place: map[int]int{}}
	for i, p := range points {
		g.number[p] = i
	}
	cables := g.joints(points)
	for _, p := range points {
		g.terminal(p)
	}
	for _, j := range cables {
		g.cable(j)
	}
	return g.net
}

// joints joins what is bare, and returns the cables, each once.
func (g *gathering) joints(points []name.Point) (cables []joint) {
	for _, p := range points {
		for _, j := range g.room.joints[p] {
			_, has := g.number[j.b]
			switch {
			case j.a != p || !has && !j.b.IsZero():
			case j.wire != nil:
				cables = append(cables, j)
			default:
				g.joined.Join(g.number[j.a], g.number[j.b])
			}
		}
	}
	return cables
}

// at is the place of a point of the net.
func (g *gathering) at(p name.Point) int {
	root := g.joined.Root(g.number[p])
	place, ok := g.place[root]
	if !ok {
		place = g.net.places
		g.place[root] = place
		g.net.places++
	}
	return place
}

// terminal adds what drives or listens at a point, and the plug that it holds.
func (g *gathering) terminal(p name.Point) {
	if g.room.plugs[p] {
		g.net.plugs = append(g.net.plugs, plug{g.at(p), p, true})
	}
	if port, ok := g.room.ports[p]; ok {
		g.port(port)
		return
	}
	m, ok := g.room.matrices[p.Owner]
	switch {
	case !ok || m.Kind == studio.Contacts:
	case p.Stem == "in":
		g.net.inputs = append(g.net.inputs, g.ofMatrix(m, p, m.Line))
	case len(g.room.inputs[p]) > 0 || !m.HighImpedance:
		g.net.outputs = append(g.net.outputs, g.ofMatrix(m, p, m.OutputsLine))
	}
}

func (g *gathering) port(port studio.Port) {
	t := terminal{port.Point, port.Line, g.at(port.Point), port.Line.Kind != studio.LineUnknown}
	if port.Line.Balanced && TwoPoles(port.Line.Plug) {
		g.net.plugs = append(g.net.plugs, plug{place: t.place, at: port.Point})
	}
	if !t.known {
		g.net.lack(fmt.Sprintf("the kind of line of %s", port.Point))
	}
	switch port.Direction {
	case studio.Output:
		g.net.outputs = append(g.net.outputs, t)
	case studio.Input:
		if !g.taken(port.Point) {
			g.net.inputs = append(g.net.inputs, t)
		}
	case studio.DirectionUnknown:
	}
}

// taken says whether a socket has taken an input over, so that it loads nothing.
func (g *gathering) taken(input name.Point) bool {
	return g.room.rears[input] && len(g.room.state.Hears(input)) == 0
}

func (g *gathering) ofMatrix(m studio.Matrix, p name.Point, line studio.Line) terminal {
	known := line.Name != ""
	if !known {
		side := "outputs"
		if p.Stem == "in" {
			side = "inputs"
		}
		g.net.lack(fmt.Sprintf("the kind of line of the %s of %s: no loss is counted there", side, m.Name))
	}
	return terminal{p, line, g.at(p), known}
}

func (g *gathering) cable(j joint) {
	w := j.wire
	c := cable{a: g.at(j.a), kind: w.kind, length: w.length, cold: w.cold, ends: [2]name.Point{j.a, j.b}, estimated: w.estimated}
	if j.b.IsZero() {
		c.b = g.net.places
		g.net.places++
	} else {
		c.b = g.at(j.b)
	}
	g.net.cables = append(g.net.cables, c)
	for i, place := range []int{c.a, c.b} {
		if w.plugs[i] {
			g.net.plugs = append(g.net.plugs, plug{place: place, at: c.ends[i]})
		}
	}
	if c.length == 0 {
		g.net.lack(fmt.Sprintf("the length of the cable from %s to %s", j.a, j.b))
	}
}

// lack notes what is not known, once.
func (n *net) lack(what string) {
	if !slices.Contains(n.lacks, what) {
		n.lacks = append(n.lacks, what)
	}
}

// unmeasured says whether a cable of the net has no length, so that nothing is
// known of its bandwidth.
func (n *net) unmeasured() bool {
	return slices.ContainsFunc(n.cables, func(c cable) bool { return c.length == 0 })
}
