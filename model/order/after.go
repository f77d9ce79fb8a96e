package order

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/plan"
)

// dependencies say which steps wait for which. Steps that touch no common metal,
// and nothing that common metal leads to, do not wait for each other: two people
// and a matrix can work at once.
type dependencies struct {
	*writer
	// parts joins all points that any state on the way joins or lets hear each
	// other.
	parts  map[name.Point]name.Point
	points map[*unit][]name.Point
	last   map[name.Point]string // by part
	before map[string][]string   // all steps before a step
	stock  map[measure.Length][]string
	spare  map[measure.Length]int
}

func newDependencies(w *writer) *dependencies {
	d := &dependencies{
		writer: w, parts: map[name.Point]name.Point{}, points: map[*unit][]name.Point{},
		last: map[name.Point]string{}, before: map[string][]string{},
		stock: map[measure.Length][]string{}, spare: map[measure.Length]int{},
	}
	live := w.room.Live(w.from)
	for _, u := range w.done {
		at := slices.Clone(u.touched)
		for _, c := range u.changes {
			at = append(at, c.Output)
			for _, in := range []name.Point{c.Input, c.Was} {
				if !in.IsZero() {
					at = append(at, in)
				}
			}
		}
		d.points[u] = at
		for _, e := range u.events {
			d.joinAll(live, at)
			live.Change(e.out, e.in)
			d.joinAll(live, at)
		}
		if u.matrix != "" {
			d.joinChanges(u)
		}
	}
	d.joinLoops()
	d.countStock()
	return d
}

func (d *dependencies) find(p name.Point) name.Point {
	for {
		up, ok := d.parts[p]
		if !ok || up == p {
			return p
		}
		p = up
	}
}

// join makes the lesser the one that stands for both.
func (d *dependencies) join(p, q name.Point) {
	p, q = d.find(p), d.find(q)
	if q.Compare(p) < 0 {
		p, q = q, p
	}
	if p != q {
		d.parts[q] = p
	}
}

func (d *dependencies) joinAll(live *heard.Live, at []name.Point) {
	for _, p := range at {
		for _, q := range live.Net(p) {
			d.join(p, q)
		}
		for _, q := range live.Reaches(p) {
			d.join(p, q)
		}
	}
}

func (d *dependencies) joinChanges(u *unit) {
	for _, c := range u.changes {
		for _, in := range []name.Point{c.Input, c.Was} {
			if !in.IsZero() {
				d.join(c.Output, in)
			}
		}
	}
}

// joinLoops joins the parts that what gear passes leads around in a ring: only
// there could a loop come about by steps that touch no common metal.
func (d *dependencies) joinLoops() {
	next := map[name.Point][]name.Point{}
	var order []name.Point
	add := func(in, out name.Point) {
		p, q := d.find(in), d.find(out)
		if len(next[p]) == 0 {
			order = append(order, p)
		}
		next[p] = append(next[p], q)
	}
	for _, g := range d.room.Studio().Gear {
		for _, p := range g.Ports {
			for _, in := range append(d.rules.old.Reaches(p.Point), d.rules.new.Reaches(p.Point)...) {
				d.join(p.Point, in)
			}
		}
	}
	for _, g := range d.room.Studio().Gear {
		for _, p := range g.Passes {
			add(p.In, p.Out)
		}
	}
	for _, inside := range d.insides {
		for _, p := range inside {
			add(p.In, p.Out)
		}
	}
	for _, p := range order {
		for _, q := range reachable(next, p) {
			if q != p && slices.Contains(reachable(next, q), p) {
				d.join(p, q)
			}
		}
	}
}

func reachable(next map[name.Point][]name.Point, from name.Point) []name.Point {
	var all []name.Point
	seen := map[name.Point]bool{}
	for queue := []name.Point{from}; len(queue) > 0; queue = queue[1:] {
		for _, q := range next[queue[0]] {
			if !seen[q] {
				seen[q] = true
				all = append(all, q)
				queue = append(queue, q)
			}
		}
	}
	return all
}

// partsOf are the parts that a unit touches.
func (d *dependencies) partsOf(u *unit) []name.Point {
	var parts []name.Point
	for _, p := range d.points[u] {
		if at := d.find(p); !slices.Contains(parts, at) {
			parts = append(parts, at)
		}
	}
	return parts
}

// of are the steps that a unit waits for, without those that the others wait
// for anyway.
func (d *dependencies) of(u *unit) []string {
	var after []string
	add := func(id string) {
		if id != "" && !slices.Contains(after, id) {
			after = append(after, id)
		}
	}
	for _, g := range d.room.Studio().Gear {
		if slices.Contains(u.quiets, g.Name) {
			add(d.muted[g.Name])
		}
	}
	for _, p := range u.unpowers {
		add(d.unpowered[p])
	}
	for _, part := range d.partsOf(u) {
		add(d.last[part])
	}
	add(d.cordFrom(u))
	return d.reduced(after)
}

func (d *dependencies) reduced(after []string) []string {
	kept := []string{}
	for _, id := range after {
		implied := slices.ContainsFunc(after, func(other string) bool {
			return other != id && slices.Contains(d.before[other], id)
		})
		if !implied {
			kept = append(kept, id)
		}
	}
	return kept
}

// did notes that a unit has become a step.
func (d *dependencies) did(u *unit, id string) {
	step := d.steps[len(d.steps)-1]
	before := slices.Clone(step.After)
	for _, a := range step.After {
		before = append(before, d.before[a]...)
	}
	slices.Sort(before)
	d.before[id] = slices.Compact(before)
	for _, part := range d.partsOf(u) {
		d.last[part] = id
	}
	if u.move.Do == plan.Pull {
		d.stock[u.move.Length] = append(d.stock[u.move.Length], id)
	}
}

// countStock counts the cords of each length that lie ready.
func (d *dependencies) countStock() {
	for _, c := range d.room.Studio().Stock.Cords {
		d.spare[c.Length] += c.Count
	}
	for _, c := range d.from.Cords {
		d.spare[c.Length]--
	}
}

// cordFrom is the step that pulls the cord that a unit plugs, where none lies
// ready.
func (d *dependencies) cordFrom(u *unit) string {
	if u.move.Do != plan.Plug || d.room.Studio().Stock.Unlimited {
		return ""
	}
	length := u.move.Length
	if d.spare[length] > 0 {
		d.spare[length]--
		return ""
	}
	if pulled := d.stock[length]; len(pulled) > 0 {
		d.stock[length] = pulled[1:]
		return pulled[0]
	}
	return ""
}
