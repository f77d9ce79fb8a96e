package planner

import (
	"slices"

	"bayhand/model/planner/clause"
)

// thing is one joint of a draft: a cord (jacks), a lead (port, jack), a normal
// or a crosspoint (its number).
type thing struct {
	kind thingKind
	a, b int
}

type thingKind uint8

const (
	aCord thingKind = iota + 1
	aLead
	aNormal
	aCross
)

// stride is one joint of a way, where it leads, and the bays or the matrix
// that it goes through.
type stride struct {
	thing
	to     int
	owners []string
}

func (b *board) owner(j int) string { return b.points[b.jacks[j].point].Owner }

// strides are the joints that a node has.
func (n *nets) strides(at int) []stride {
	var all []stride
	add := func(t thing, a, b int, owners ...string) {
		switch at {
		case a:
			all = append(all, stride{t, b, owners})
		case b:
			all = append(all, stride{t, a, owners})
		}
	}
	for _, c := range n.draft.cords {
		if c[1] != nowhere {
			add(thing{aCord, c[0], c[1]}, n.jacks[c[0]].node, n.jacks[c[1]].node, n.owner(c[0]), n.owner(c[1]))
		}
	}
	for _, l := range n.draft.leads {
		add(thing{aLead, l[0], l[1]}, n.node[n.ports[l[0]]], n.jacks[l[1]].node, n.owner(l[1]))
	}
	for _, m := range n.nodes[at].normals {
		if v := n.normals[m]; n.holds(v) {
			add(thing{aNormal, m, 0}, n.jacks[v.a].node, n.jacks[v.b].node, n.owner(v.a), n.owner(v.b))
		}
	}
	for _, x := range n.draft.crosses {
		c := n.crosses[x]
		if o := n.outputs[c.output]; o.relay {
			add(thing{aCross, x, 0}, c.from, o.node, o.matrix)
		}
	}
	return all
}

// path is a shortest way between two nodes of one net; nil if there is none, or
// they are one.
func (n *nets) path(from, to int) []stride {
	type came struct {
		by   stride
		from int
	}
	seen := map[int]came{from: {from: nowhere}}
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		for _, s := range n.strides(queue[0]) {
			if _, ok := seen[s.to]; !ok {
				seen[s.to] = came{s, queue[0]}
				queue = append(queue, s.to)
			}
		}
	}
	var way []stride
	for at := to; at != from; {
		c, ok := seen[at]
		if !ok {
			return nil
		}
		way = append(way, c.by)
		at = c.from
	}
	return way
}

// wayTo is the way from a source to a node, through amplifiers; ok is false if
// the source does not come there.
func (n *nets) wayTo(node, source int) (way []stride, ok bool) {
	for range len(n.outputs) + 1 {
		drivers := n.driversAt(node)
		if len(drivers) != 1 {
			return nil, false
		}
		way = append(way, n.path(node, n.driverNode(drivers[0]))...)
		if s, isSource := n.sourceAt(drivers[0]); isSource {
			return way, s == source
		}
		o := n.amplifier(drivers[0])
		x, on := n.behind[o]
		if !on {
			return nil, false
		}
		node = n.crosses[x].from
		way = append(way, stride{thing{aCross, x, 0}, node, []string{n.outputs[o].matrix}})
	}
	return nil, false
}

func goesRight(way []stride, via, avoid []string) bool {
	through := func(owner string) bool {
		return slices.ContainsFunc(way, func(s stride) bool { return slices.Contains(s.owners, owner) })
	}
	return !slices.ContainsFunc(via, func(o string) bool { return !through(o) }) && !slices.ContainsFunc(avoid, through)
}

// lit is the literal of a joint.
func (e *encoding) lit(t thing) clause.Lit {
	switch t.kind {
	case aCord:
		return e.cord([2]int{t.a, t.b})
	case aLead:
		for _, at := range e.leadsAt[t.b] {
			if e.leads[at].port == t.a {
				return e.leads[at].lit
			}
		}
	case aNormal:
		return e.hold[t.a]
	case aCross:
		return e.closed[t.a]
	}
	return clause.False
}

// refineWays refuses ways that a want asks to go otherwise.
func (e *encoding) refineWays(n *nets) bool {
	found := false
	for i, w := range e.session.Wants {
		if len(w.Via)+len(w.Avoid) == 0 || e.soft && !e.Value(e.wantLits[i]) {
			continue
		}
		way, _ := n.wayTo(e.node[e.number[w.Destination]], e.sourceOf[w.Source])
		if goesRight(way, w.Via, w.Avoid) {
			continue
		}
		lits := []clause.Lit{e.wantLits[i].Not()}
		for _, s := range way {
			lits = append(lits, e.lit(s.thing).Not())
		}
		e.Add(lits...)
		found = true
	}
	return found
}
