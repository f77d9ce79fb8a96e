package scope

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// touch is what a piece of metal has to do with.
type touch struct {
	own   bool
	out   bool // a room outside the scope
	by    int  // the holder of such a room, or one that names a place of it; -1 for none
	named bool // a holder names a place of it
}

// touches says of each piece of metal what it has to do with.
func (c *Scope) touches(m *metal) map[int]*touch {
	all := map[int]*touch{}
	at := func(p name.Point) *touch {
		n := m.of(p)
		if all[n] == nil {
			all[n] = &touch{by: -1}
		}
		return all[n]
	}
	for _, p := range m.places() {
		t := at(p)
		t.own = t.own || c.own(p.Owner)
		if c.out(p.Owner) {
			t.out = true
			t.by = max(t.by, c.holder(c.part[p.Owner]))
		}
	}
	for i, h := range c.holders {
		if h.Wanted == nil {
			continue
		}
		for _, p := range Places(c.whole, h.Wanted) {
			if c.part[p.Owner] == "" && !c.asksFor(p) {
				t := at(p)
				t.named, t.by = true, max(t.by, i)
			}
		}
	}
	return all
}

// asksFor says whether the session takes a signal from a place: several may, and what
// parts of it are taken the plugs there say.
func (c *Scope) asksFor(source name.Point) bool {
	return c.wanted != nil && slices.ContainsFunc(c.wanted.Wants, func(w session.Want) bool { return w.Source == source })
}

// places are those of a metal, in the order in which they came in.
func (m *metal) places() []name.Point {
	all := make([]name.Point, len(m.number))
	for p, n := range m.number {
		all[n] = p
	}
	return all
}

// claimLines takes what leads to rooms outside the scope for good, and the gear in no
// room that others name.
func (c *Scope) claimLines(fixed *metal) {
	all := c.touches(fixed)
	for _, p := range fixed.places() {
		if t := all[fixed.of(p)]; c.part[p.Owner] == "" && !t.own && (t.out || t.named) {
			c.theirs[p] = t.by
		}
	}
}

// claimHeld takes what a patch joins to rooms that others hold: by plugs, and by
// crosspoints from there on.
func (c *Scope) claimHeld(m *metal, p patch.Patch) {
	all := c.touches(m)
	held := func(q name.Point) int {
		if t := all[m.of(q)]; t != nil && (t.out || t.named) {
			return t.by
		}
		return -1
	}
	for range p.Crosspoints { // at most so often does something come further
		more := false
		for _, x := range p.Crosspoints {
			to := all[m.of(x.Output)]
			if by := held(x.Input); by >= 0 && !c.own(x.Output.Owner) && held(x.Output) < 0 && (to == nil || !to.own) {
				all[m.of(x.Output)] = &touch{by: by, named: true}
				more = true
			}
		}
		if !more {
			break
		}
	}
	plugs := map[name.Point]bool{}
	for _, q := range p.Plugs() {
		plugs[q] = true
	}
	for _, q := range m.places() {
		by := held(q)
		if by >= 0 && !c.out(q.Owner) && (plugs[q] || !c.own(q.Owner) && !all[m.of(q)].own) {
			c.theirs[q] = by
		}
	}
}

// Widened are rooms with those beside them that hold no session and that a cord or a
// lead of a patch joins to them: what is in there is nobody else's. Rooms that others
// hold are not among them.
func Widened(s *studio.Studio, rooms []string, holders []Holder, p patch.Patch) []string {
	fixed, part := soldered(s), partsOf(s)
	for _, q := range p.Plugs() {
		fixed.of(q)
	}
	plugged := fixed.copy()
	plugged.plug(s, patch.Patch{Cords: p.Cords, Leads: p.Leads})
	held := func(r string) bool {
		return slices.ContainsFunc(holders, func(h Holder) bool { return slices.Contains(h.Rooms, r) })
	}
	rooms = slices.Clone(rooms)
	for before := 0; before < len(rooms); {
		before = len(rooms)
		near, mine := map[int]bool{}, map[int]bool{}
		leads := map[int]string{}
		for _, q := range fixed.places() {
			switch r := part[q.Owner]; {
			case slices.Contains(rooms, r):
				near[fixed.of(q)], mine[plugged.of(q)] = true, true
			case r != "" && !held(r):
				leads[fixed.of(q)] = r
			}
		}
		for _, q := range p.Plugs() {
			if r := leads[fixed.of(q)]; r != "" && mine[plugged.of(q)] && !near[fixed.of(q)] && !slices.Contains(rooms, r) {
				rooms = append(rooms, r)
			}
		}
	}
	return rooms
}
