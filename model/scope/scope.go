package scope

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Holder is a session that rooms outside a scope are in.
type Holder struct {
	Session string
	Rooms   []string
	// Wanted is what it asks for; nil where nobody knows.
	Wanted *session.Session
}

// Scope is the part of a studio that a recall is planned in.
type Scope struct {
	// Rooms are the names of its rooms, sorted.
	Rooms []string
	// Studio is the studio cut to the scope, of which no plan uses what others hold.
	Studio *studio.Studio
	// Held are the jacks among its faulty ones that are sound and that others hold.
	Held []name.Point

	whole   *studio.Studio
	wanted  *session.Session
	part    map[string]string // the room of each bay, box, matrix and gear
	holders []Holder
	of      map[string]int // the holder of each room that one is in
	// theirs says of each shared place that is held which of the holders does; -1 for
	// a line to a room that holds nothing.
	theirs map[name.Point]int
}

// New is the scope of a session in some rooms of a studio, where others hold sessions,
// with the patches that are to be respected: the one that is in, and the one that
// others are on their way to. A nil session is rest. It takes time linear in the studio
// and the patches.
func New(s *studio.Studio, rooms []string, wanted *session.Session, holders []Holder, patches ...patch.Patch) *Scope {
	c := &Scope{Rooms: slices.Sorted(slices.Values(rooms)), whole: s, wanted: wanted, part: partsOf(s), holders: holders, theirs: map[name.Point]int{}}
	c.of = map[string]int{}
	for i, h := range holders {
		for _, r := range h.Rooms {
			c.of[r] = i
		}
	}
	fixed := soldered(s)
	c.claimLines(fixed)
	for _, p := range patches {
		m := fixed.copy()
		m.plug(s, p)
		c.claimHeld(m, p)
	}
	c.cut(patches[0])
	return c
}

func partsOf(s *studio.Studio) map[string]string {
	part := map[string]string{}
	for _, r := range s.Rooms {
		for _, p := range r.Parts {
			part[p] = r.Name
		}
	}
	return part
}

// out says whether a thing is part of a room outside the scope.
func (c *Scope) out(owner string) bool {
	r := c.part[owner]
	return r != "" && !slices.Contains(c.Rooms, r)
}

// own says whether a thing is part of a room of the scope.
func (c *Scope) own(owner string) bool { return slices.Contains(c.Rooms, c.part[owner]) }

// holder is the number of the holder that a room is in; -1 for none.
func (c *Scope) holder(room string) int {
	if i, ok := c.of[room]; ok {
		return i
	}
	return -1
}

// Has says whether a plan of the scope may touch a place.
func (c *Scope) Has(p name.Point) bool {
	_, held := c.theirs[p]
	return !held && !c.out(p.Owner)
}

// HolderOf is the session that holds a place, and its rooms; false where none does.
func (c *Scope) HolderOf(p name.Point) (Holder, bool) {
	i, held := c.theirs[p]
	if !held && c.out(p.Owner) {
		i = c.holder(c.part[p.Owner])
		held = true
	}
	if !held || i < 0 {
		return Holder{}, false
	}
	return c.holders[i], true
}

// Split parts a patch into what plans of the scope are about, and what is not theirs.
func (c *Scope) Split(p patch.Patch) (inside, outside patch.Patch) {
	has := func(points ...name.Point) bool {
		return !slices.ContainsFunc(points, func(q name.Point) bool { return !c.Has(q) })
	}
	for _, x := range p.Cords {
		to := sideOf(has(x.Ends()...), &inside, &outside)
		to.Cords = append(to.Cords, x)
	}
	for _, l := range p.Leads {
		to := sideOf(has(l.Port, l.Jack), &inside, &outside)
		to.Leads = append(to.Leads, l)
	}
	for _, j := range p.Dummies {
		to := sideOf(has(j), &inside, &outside)
		to.Dummies = append(to.Dummies, j)
	}
	for _, x := range p.Crosspoints {
		to := sideOf(has(x.Output), &inside, &outside)
		to.Crosspoints = append(to.Crosspoints, x)
	}
	return inside, outside
}

func sideOf(in bool, inside, outside *patch.Patch) *patch.Patch {
	if in {
		return inside
	}
	return outside
}

// Join is a patch of both parts.
func Join(inside, outside patch.Patch) patch.Patch {
	all := patch.Patch{
		Cords: slices.Concat(outside.Cords, inside.Cords), Leads: slices.Concat(outside.Leads, inside.Leads),
		Dummies: slices.Concat(outside.Dummies, inside.Dummies), Crosspoints: slices.Concat(outside.Crosspoints, inside.Crosspoints),
	}
	all.Sort()
	return all
}
