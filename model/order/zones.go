package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// zones divide the room into the least parts that no state on any way from the
// old patch to the new can join by metal, in whatever order the units are done:
// what is plugged throughout breaks its normals, and all else may be in or out.
// So what happens in a zone depends on the order of the units in it alone, and
// in those zones that amplifiers lead to it from.
type zones struct {
	parent map[name.Point]name.Point
	// wires lead from zone to zone through amplifiers; rings also through what
	// gear always passes, clicks also through what it can pass.
	wires, rings, clicks ways
	own                  map[*unit][]name.Point
}

// ways lead from zone to zone.
type ways struct {
	next  map[name.Point][]name.Point
	found map[name.Point]map[name.Point]bool
}

func newZones(a *arranger) *zones {
	z := &zones{parent: map[name.Point]name.Point{}, own: map[*unit][]name.Point{}}
	z.joinNormals(a)
	for _, p := range []patch.Patch{a.from, patch.Patch(a.plan.Target)} {
		z.joinPatch(a, p)
	}
	z.lead(a)
	return z
}

func (z *zones) of(p name.Point) name.Point {
	for {
		up, ok := z.parent[p]
		if !ok {
			return p
		}
		p = up
	}
}

// join makes the lesser the one that stands for both.
func (z *zones) join(p, q name.Point) {
	p, q = z.of(p), z.of(q)
	switch order := p.Compare(q); {
	case order < 0:
		z.parent[q] = p
	case order > 0:
		z.parent[p] = q
	}
}

// joinNormals joins what is fixed, and every normal that may hold.
func (z *zones) joinNormals(a *arranger) {
	state := a.room.Hear(patch.Patch{Dummies: a.throughout()})
	for _, p := range points(a.room.Studio()) {
		for _, q := range state.Net(p) {
			z.join(p, q)
		}
	}
}

// throughout are the jacks that hold a plug from the beginning to the end.
func (a *arranger) throughout() []name.Point {
	target := patch.Patch(a.plan.Target).Plugs()
	return slices.DeleteFunc(a.from.Plugs(), func(p name.Point) bool {
		return !slices.Contains(target, p) || slices.ContainsFunc(a.units, func(u *unit) bool { return slices.Contains(u.touched, p) })
	})
}

func points(s *studio.Studio) []name.Point {
	var all []name.Point
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			all = append(all, p.Point)
		}
	}
	for _, b := range s.Bays {
		for n := 1; n <= b.Pairs(); n++ {
			all = append(all, b.TopJack(n), b.BottomJack(n))
		}
	}
	for _, b := range s.Boxes {
		for n := 1; n <= b.Sockets; n++ {
			all = append(all, b.Socket(n))
		}
	}
	for _, m := range s.Matrices {
		for n := 1; n <= m.Inputs; n++ {
			all = append(all, m.In(n))
		}
		for n := 1; n <= m.Outputs; n++ {
			all = append(all, m.Out(n))
		}
	}
	return all
}

func (z *zones) joinPatch(a *arranger, p patch.Patch) {
	for _, c := range p.Cords {
		if !c.B.IsZero() {
			z.join(c.A, c.B)
		}
	}
	for _, l := range p.Leads {
		z.join(l.Port, l.Jack)
		for _, g := range a.room.Studio().Gear {
			for _, s := range g.Steals {
				if s.Front == l.Port {
					z.join(s.Front, s.Rear) // the plug there silences the rear
				}
			}
		}
	}
	for _, m := range a.room.Studio().Matrices {
		for _, c := range p.Of(m.Name) {
			if m.Kind == studio.Contacts {
				z.join(c.Input, c.Output)
			}
		}
	}
}

// lead finds the ways between zones, once all are joined.
func (z *zones) lead(a *arranger) {
	for _, w := range []*ways{&z.wires, &z.rings, &z.clicks} {
		w.next, w.found = map[name.Point][]name.Point{}, map[name.Point]map[name.Point]bool{}
	}
	for _, p := range []patch.Patch{a.from, patch.Patch(a.plan.Target)} {
		for _, c := range p.Crosspoints {
			z.add(c.Input, c.Output, &z.wires, &z.rings, &z.clicks)
		}
	}
	for _, g := range a.room.Studio().Gear {
		for _, p := range g.Passes {
			z.add(p.In, p.Out, &z.rings, &z.clicks)
		}
		for _, p := range g.CanPass {
			z.add(p.In, p.Out, &z.clicks)
		}
	}
	for _, inside := range a.insides {
		for _, p := range inside {
			z.add(p.In, p.Out, &z.rings, &z.clicks)
		}
	}
}

func (z *zones) add(in, out name.Point, to ...*ways) {
	from, into := z.of(in), z.of(out)
	for _, w := range to {
		if from != into && !slices.Contains(w.next[from], into) {
			w.next[from] = append(w.next[from], into)
		}
	}
}

// from are the zones that ways lead to from one, itself among them.
func (w *ways) from(zone name.Point) map[name.Point]bool {
	if found, ok := w.found[zone]; ok {
		return found
	}
	found := map[name.Point]bool{zone: true}
	for queue := []name.Point{zone}; len(queue) > 0; queue = queue[1:] {
		for _, next := range w.next[queue[0]] {
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

// round says whether ways lead from one of some zones to one of others and back.
func (w *ways) round(from, to []name.Point) bool {
	return slices.ContainsFunc(from, func(p name.Point) bool {
		return slices.ContainsFunc(to, func(q name.Point) bool { return w.from(p)[q] && w.from(q)[p] })
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
	var all []name.Point
	for _, in := range inputs(g) {
		all = append(all, z.of(in))
	}
	return all
}

// clicksBy says whether the plugs of a unit could click from a loudspeaker that
// is not muted for it, if another unit were done at another time.
func (z *zones) clicksBy(u, other *unit, speakers []speaker) bool {
	if len(u.touched) == 0 || !z.clicks.lead(z.at(u), z.at(other)) {
		return false
	}
	return slices.ContainsFunc(speakers, func(s speaker) bool {
		return !slices.Contains(u.quiets, s.gear.Name) && z.clicks.lead(z.at(other), []name.Point{z.of(s.input)})
	})
}
