package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// zones divide the room into the least parts that no state on any way from the
// old patch to the new can join by metal, in whatever order the actions are done:
// what is plugged throughout breaks its normals, and all else may be in or out.
// What happens in a zone depends on the order of the actions in it alone, and in
// those zones from which signal comes to it. Zones are found as they are asked for:
// most of a large room is in none that matters. A zone is called by the least point
// of one of its nets.
type zones struct {
	facts *facts
	// fixed is the room with nothing in but what stays in throughout, and every
	// normal broken that a plug may break on the way: its nets are never parted.
	fixed *state
	// net is the least point of the net of each point that was asked for, on the
	// points of each such net.
	net map[name.Point]name.Point
	on  map[name.Point][]name.Point
	// joined are the nets that actions join to each.
	joined map[name.Point][]name.Point
	zone   map[name.Point]name.Point
	// nets are those of a zone.
	nets map[name.Point][]name.Point
	// listening are the outputs of amplifiers that listen to an input before or
	// after.
	listening map[name.Point][]name.Point
	// paths lead from zone to zone through amplifiers; possible also through what
	// gear can pass. Cycles are those of paths through what gear always passes.
	paths, possible *paths
	cycles          *cycles
	// ring is, by node, the ring of zones that it is in and one more, once it is known, or noRing.
	ring     []int
	ofAction map[*action][]name.Point
	ofGear   map[string][]name.Point
}

func newZones(f *facts, actions []*action) *zones {
	z := &zones{
		facts: f, fixed: f.state(f.from),
		net: map[name.Point]name.Point{}, on: map[name.Point][]name.Point{},
		joined: map[name.Point][]name.Point{}, zone: map[name.Point]name.Point{}, nets: map[name.Point][]name.Point{},
		listening: map[name.Point][]name.Point{}, ofAction: map[*action][]name.Point{}, ofGear: map[string][]name.Point{},
	}
	for _, a := range actions {
		z.lift(a)
	}
	z.breakNormals(actions)
	for _, a := range actions {
		z.joinEnds(a)
	}
	z.joinContacts()
	for _, p := range []patch.Patch{f.from, f.target} {
		for _, c := range p.Crosspoints {
			if f.amplifiers[c.Output.Owner] {
				z.listening[c.Input] = append(z.listening[c.Input], c.Output)
			}
		}
	}
	z.paths = newPaths(z, func(p name.Point) []name.Point { return z.listening[p] })
	z.possible = newPaths(z, func(p name.Point) []name.Point { return append(slices.Clone(z.listening[p]), f.mayCarry(p)...) })
	z.cycles = newCycles(newPaths(z, z.passes), z.ofAll(actions))
	z.ring = make([]int, len(z.fixed.numbers.Graph.Nodes))
	return z
}

// passes are the outputs that a point leads to through amplifiers, gear and what
// the software carries.
func (z *zones) passes(p name.Point) []name.Point {
	outs := append(slices.Clone(z.listening[p]), z.facts.passed(p)...)
	for _, i := range z.facts.insides {
		outs = append(outs, i.from[p]...)
	}
	return outs
}

// lift takes out what an action moves, and leaves a dummy where a plug stays: it
// breaks its normals throughout.
func (z *zones) lift(a *action) {
	switch m := a.move; m.Do {
	case plan.Pull:
		z.fixed.change(cords(m.Ends...), patch.Patch{})
	case plan.MoveEnd:
		z.fixed.change(cords(m.Ends...), patch.Patch{Dummies: m.Ends[:1]})
	case plan.PullDummy:
		z.fixed.change(patch.Patch{Dummies: m.Ends}, patch.Patch{})
	case plan.PullLead:
		z.fixed.change(lead(m), patch.Patch{})
	case plan.Plug, plan.PlugDummy, plan.PlugLead, plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch, plan.ChangeOver:
	}
	for _, e := range a.events {
		if len(e.out.Crosspoints) > 0 {
			z.fixed.change(e.out, patch.Patch{})
		}
	}
}

// breakNormals puts a dummy into each jack that a plug goes in or out of. What
// that parts may be joined on the way, and so is one zone.
func (z *zones) breakNormals(actions []*action) {
	before := map[name.Point][]name.Point{}
	for _, a := range actions {
		for _, j := range a.touched {
			before[j] = z.fixed.live.Net(j)
		}
	}
	for j := range before {
		z.fixed.change(patch.Patch{}, patch.Patch{Dummies: []name.Point{j}})
	}
	for j, all := range before {
		for _, p := range all {
			z.join(j, p)
		}
	}
}

// joinEnds joins what a move parts or joins.
func (z *zones) joinEnds(a *action) {
	for _, ends := range [][]name.Point{a.move.Ends, a.move.To} {
		if len(ends) == 2 {
			z.join(ends[0], ends[1])
		}
	}
	if a.move.Do == plan.PlugLead || a.move.Do == plan.PullLead {
		for _, rear := range z.facts.overridden(a.move.Ends[0]) {
			z.join(a.move.Ends[0], rear)
		}
	}
}

// joinContacts joins what crosspoints of metal part or join.
func (z *zones) joinContacts() {
	for _, c := range z.facts.crosspoints {
		for _, in := range []name.Point{c.Was, c.Input} {
			if !in.IsZero() && !z.facts.amplifiers[c.Output.Owner] {
				z.join(c.Output, in)
			}
		}
	}
}

func (z *zones) join(p, q name.Point) {
	p, q = z.netOf(p), z.netOf(q)
	if p != q {
		z.joined[p] = append(z.joined[p], q)
		z.joined[q] = append(z.joined[q], p)
	}
}

// netOf is the least point of the net of a point, with what no action moves.
func (z *zones) netOf(p name.Point) name.Point {
	if at, ok := z.net[p]; ok {
		return at
	}
	all := z.fixed.live.Net(p)
	if len(all) == 0 {
		all = []name.Point{p} // the room does not have it
	}
	for _, q := range all {
		z.net[q] = all[0]
	}
	z.on[all[0]] = all
	return all[0]
}

// at is the zone of a point.
func (z *zones) at(p name.Point) name.Point {
	at := z.netOf(p)
	if zone, ok := z.zone[at]; ok {
		return zone
	}
	nets := []name.Point{at}
	for i := 0; i < len(nets); i++ {
		for _, next := range z.joined[nets[i]] {
			if !slices.Contains(nets, next) {
				nets = append(nets, next)
			}
		}
	}
	for _, n := range nets {
		z.zone[n] = at
	}
	z.nets[at] = nets
	return at
}

// points are those of a zone.
func (z *zones) points(zone name.Point) []name.Point {
	var all []name.Point
	for _, n := range z.nets[zone] {
		all = append(all, z.on[n]...)
	}
	return all
}

// of are the zones in which an action changes something.
func (z *zones) of(a *action) []name.Point {
	if known, ok := z.ofAction[a]; ok {
		return known
	}
	var own []name.Point
	add := func(p name.Point) {
		if at := z.at(p); !slices.Contains(own, at) {
			own = append(own, at)
		}
	}
	for _, p := range a.touched {
		add(p)
	}
	for _, c := range a.changes {
		add(c.Output)
	}
	z.ofAction[a] = own
	return own
}

func (z *zones) ofAll(actions []*action) []name.Point {
	var all []name.Point
	for _, a := range actions {
		all = append(all, z.of(a)...)
	}
	return all
}

// noRing is that of a node from which no signal can come back.
const noRing = -1

// ringOf is a number of the ring of zones that a node is in: nodes of the same ring have the
// same.
func (z *zones) ringOf(node int) int {
	if z.ring[node] == 0 {
		z.ring[node] = noRing
		for _, p := range z.fixed.numbers.Graph.Nodes[node].Points {
			if at := z.fixed.numbers.Graph.Points[p]; !at.IsZero() {
				z.ring[node] = z.cycles.ring(z.at(at))
				break
			}
		}
	}
	return z.ring[node]
}

// inputsOf are the zones of the inputs of gear.
func (z *zones) inputsOf(g studio.Gear) []name.Point {
	if known, ok := z.ofGear[g.Name]; ok {
		return known
	}
	var all []name.Point
	for _, in := range inputs(g) {
		all = append(all, z.at(in))
	}
	z.ofGear[g.Name] = all
	return all
}
