package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// zones divide the room into the least parts that no state on any way from the
// old patch to the new can join by metal, in whatever order the units are done:
// what is plugged throughout breaks its normals, and all else may be in or out.
// So what happens in a zone depends on the order of the units in it alone, and
// in those zones that amplifiers lead to it from. Zones are found as they are
// asked for: most of a large room is in none that matters.
type zones struct {
	*arranger
	// sparse is the room with nothing in but what stays in throughout, and every
	// normal broken that a plug may break on the way: its nets are never parted.
	sparse *now
	// net is the least point of the net of each point that was asked for, on the
	// points of each such net.
	net map[name.Point]name.Point
	on  map[name.Point][]name.Point
	// joined are nets that units join, by each of them; zone names what is joined
	// by the least.
	joined map[name.Point][]name.Point
	zone   map[name.Point]name.Point
	// parts are the nets of a zone.
	parts map[name.Point][]name.Point
	// listening are the outputs of amplifiers that listen to an input before or
	// after.
	listening map[name.Point][]name.Point
	// wires lead from zone to zone through amplifiers; rings also through what
	// gear always passes, clicks also through what it can pass.
	wires, clicks ways
	rings         *knots
	own           map[*unit][]name.Point
	sounding      map[string][]name.Point
}

func newZones(a *arranger) *zones {
	z := &zones{
		arranger: a, sparse: a.now(a.from),
		net: map[name.Point]name.Point{}, on: map[name.Point][]name.Point{},
		joined: map[name.Point][]name.Point{}, zone: map[name.Point]name.Point{}, parts: map[name.Point][]name.Point{},
		listening: map[name.Point][]name.Point{}, own: map[*unit][]name.Point{}, sounding: map[string][]name.Point{},
	}
	z.lift()
	z.breakNormals()
	z.joinUnits()
	for _, p := range []patch.Patch{a.from, patch.Patch(a.plan.Target)} {
		for _, c := range p.Crosspoints {
			if a.amplifiers[c.Output.Owner] {
				z.listening[c.Input] = append(z.listening[c.Input], c.Output)
			}
		}
	}
	passes := func(p name.Point) []name.Point {
		outs := append(slices.Clone(z.listening[p]), a.rules.passed(p)...)
		for _, inside := range a.rules.through.insides {
			outs = append(outs, inside[p]...)
		}
		return outs
	}
	z.wires = newWays(z, func(p name.Point) []name.Point { return z.listening[p] })
	gear := newWays(z, passes)
	z.rings = newKnots(&gear)
	z.clicks = newWays(z, func(p name.Point) []name.Point { return append(passes(p), a.rules.could(p)...) })
	return z
}

// lift takes out what a unit moves, and leaves a dummy where a plug stays: it
// breaks its normals throughout.
func (z *zones) lift() {
	for _, u := range z.units {
		switch m := u.move; m.Do {
		case plan.Pull:
			z.sparse.change(cords(m.Ends...), patch.Patch{})
		case plan.MoveEnd:
			z.sparse.change(cords(m.Ends...), patch.Patch{Dummies: m.Ends[:1]})
		case plan.PullDummy:
			z.sparse.change(patch.Patch{Dummies: m.Ends}, patch.Patch{})
		case plan.PullLead:
			z.sparse.change(lead(m), patch.Patch{})
		case plan.Plug, plan.PlugDummy, plan.PlugLead, plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch:
		}
		for _, e := range u.events {
			if len(e.out.Crosspoints) > 0 {
				z.sparse.change(e.out, patch.Patch{})
			}
		}
	}
}

// breakNormals puts a dummy into each jack that a plug goes in or out of. What
// that parts may be joined on the way, and so is one zone.
func (z *zones) breakNormals() {
	before := map[name.Point][]name.Point{}
	for _, u := range z.units {
		for _, j := range u.touched {
			before[j] = z.sparse.Net(j)
		}
	}
	for j := range before {
		z.sparse.change(patch.Patch{}, patch.Patch{Dummies: []name.Point{j}})
	}
	for j, all := range before {
		for _, p := range all {
			z.join(j, p)
		}
	}
}

// joinUnits joins what units part or join.
func (z *zones) joinUnits() {
	for _, u := range z.units {
		for _, ends := range [][]name.Point{u.move.Ends, u.move.To} {
			if len(ends) == 2 {
				z.join(ends[0], ends[1])
			}
		}
		if u.move.Do == plan.PlugLead || u.move.Do == plan.PullLead {
			for _, rear := range z.stealsOf(u.move.Ends[0]) {
				z.join(u.move.Ends[0], rear)
			}
		}
	}
	for _, c := range z.plan.Crosspoints {
		for _, in := range []name.Point{c.Was, c.Input} {
			if !in.IsZero() && !z.amplifiers[c.Output.Owner] {
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

// netOf is the least point of the net of a point, with what no unit moves.
func (z *zones) netOf(p name.Point) name.Point {
	if at, ok := z.net[p]; ok {
		return at
	}
	all := z.sparse.Net(p)
	if len(all) == 0 {
		all = []name.Point{p} // the room does not have it
	}
	for _, q := range all {
		z.net[q] = all[0]
	}
	z.on[all[0]] = all
	return all[0]
}

// of is the zone of a point, by the least point of one of its nets.
func (z *zones) of(p name.Point) name.Point {
	at := z.netOf(p)
	if zone, ok := z.zone[at]; ok {
		return zone
	}
	parts := []name.Point{at}
	for i := 0; i < len(parts); i++ {
		for _, next := range z.joined[parts[i]] {
			if !slices.Contains(parts, next) {
				parts = append(parts, next)
			}
		}
	}
	for _, part := range parts {
		z.zone[part] = at
	}
	z.parts[at] = parts
	return at
}

// ways lead from zone to zone.
type ways struct {
	zones *zones
	ahead func(name.Point) []name.Point
	found map[name.Point]map[name.Point]bool
}

func newWays(z *zones, ahead func(name.Point) []name.Point) ways {
	return ways{z, ahead, map[name.Point]map[name.Point]bool{}}
}

// next are the zones that a way leads to from one without another between.
func (w *ways) next(zone name.Point) []name.Point {
	var all []name.Point
	for _, part := range w.zones.parts[zone] {
		for _, p := range w.zones.on[part] {
			for _, out := range w.ahead(p) {
				if at := w.zones.of(out); !slices.Contains(all, at) {
					all = append(all, at)
				}
			}
		}
	}
	return all
}

// from are the zones that ways lead to from one, itself among them.
func (w *ways) from(zone name.Point) map[name.Point]bool {
	if found, ok := w.found[zone]; ok {
		return found
	}
	found := map[name.Point]bool{zone: true}
	for queue := []name.Point{zone}; len(queue) > 0; queue = queue[1:] {
		for _, next := range w.next(queue[0]) {
			if !found[next] {
				found[next] = true
				queue = append(queue, next)
			}
		}
	}
	w.found[zone] = found
	return found
}

// lead says whether ways lead from one of some zones to one of others.
func (w *ways) lead(from, to []name.Point) bool {
	return slices.ContainsFunc(from, func(p name.Point) bool {
		reached := w.from(p)
		return slices.ContainsFunc(to, func(q name.Point) bool { return reached[q] })
	})
}

// round says whether something may go round through one of some zones and one of
// others.
func (k *knots) round(some, others []name.Point) bool {
	return slices.ContainsFunc(some, func(p name.Point) bool {
		knot, _ := k.knot(p)
		return slices.ContainsFunc(others, func(q name.Point) bool {
			other, _ := k.knot(q)
			return knot == other
		})
	})
}

// at are the zones in which a unit changes something.
func (z *zones) at(u *unit) []name.Point {
	if own, ok := z.own[u]; ok {
		return own
	}
	var own []name.Point
	add := func(p name.Point) {
		if at := z.of(p); !slices.Contains(own, at) {
			own = append(own, at)
		}
	}
	for _, p := range u.touched {
		add(p)
	}
	for _, c := range u.changes {
		add(c.Output)
	}
	z.own[u] = own
	return own
}

// meet says whether it matters in which order two units are done: to outputs
// that are joined, to what is heard, or to loops.
func (z *zones) meet(u, v *unit) bool {
	a, b := z.at(u), z.at(v)
	return z.wires.lead(a, b) || z.wires.lead(b, a) || z.rings.round(a, b)
}

// sounds says whether what a unit does may be heard or felt from gear, at any
// time, even as a click.
func (z *zones) sounds(u *unit, g studio.Gear) bool { return z.clicks.lead(z.at(u), z.inputs(g)) }

func (z *zones) inputs(g studio.Gear) []name.Point {
	if known, ok := z.sounding[g.Name]; ok {
		return known
	}
	var all []name.Point
	for _, in := range inputs(g) {
		all = append(all, z.of(in))
	}
	z.sounding[g.Name] = all
	return all
}

// clicksBy says whether the plugs of a unit could click from a loudspeaker that
// is not muted for it, if another unit were done at another time.
func (z *zones) clicksBy(u, other *unit) bool {
	return slices.ContainsFunc(z.rules.audible, func(g studio.Gear) bool {
		return !slices.Contains(u.quiets, g.Name) && z.clicksWith(u, other, g)
	})
}

// clicksWith says whether the plugs of a unit could click from gear by way of
// what another unit changes.
func (z *zones) clicksWith(u, other *unit, g studio.Gear) bool {
	return len(u.touched) > 0 && z.clicks.lead(z.at(u), z.at(other)) && z.sounds(other, g)
}
