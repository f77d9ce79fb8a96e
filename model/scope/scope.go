package scope

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
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

// claim is a place, and the number of who has it.
type claim struct {
	at name.Point
	by int
}

// Scope is the part of a studio that a recall is planned in.
type Scope struct {
	// Rooms are the names of its rooms, sorted.
	Rooms []string
	// Studio is the studio cut to the scope, of which no plan uses what others hold.
	Studio *studio.Studio
	// Held are the jacks among its faulty ones that are sound and that others hold.
	Held []name.Point
	// Elsewhere are the cords and dummies of the whole studio that are in use outside it.
	Elsewhere plan.Elsewhere
	// InUse is what is in elsewhere or still to come there, of which Studio has the cords
	// and dummies no more.
	InUse patch.Patch

	whole    *studio.Studio
	wanted   *session.Session
	building *Building
	holders  []Holder
	of       map[string]int // the holder of each room that one is in
	// isOwn and holding say of each room, by number, whether it is of the scope, and who
	// holds it; -1 for nobody.
	isOwn   []bool
	holding []int
	// named are the places in no room that holders name.
	named []claim
	// theirs says of each shared place that is held which of the holders does; -1 for
	// a line to a room that holds nothing.
	theirs map[name.Point]int
	sealed sealing
	// in is the patch that is in, next are those that rooms are on their way to.
	in   patch.Patch
	next []patch.Patch
}

// lookUp finds what of rooms and of places is asked for again and again.
func (c *Scope) lookUp(rooms []studio.Room) {
	for _, r := range rooms {
		c.isOwn = append(c.isOwn, slices.Contains(c.Rooms, r.Name))
		c.holding = append(c.holding, c.holder(r.Name))
	}
	for i, h := range c.holders {
		if h.Wanted == nil {
			continue
		}
		for _, p := range Places(c.whole, h.Wanted) {
			if c.building.part[p.Owner] == "" && !c.asksFor(p) {
				c.named = append(c.named, claim{p, i})
			}
		}
	}
}

// out says whether a thing is part of a room outside the scope.
func (c *Scope) out(owner string) bool {
	r := c.building.part[owner]
	return r != "" && !slices.Contains(c.Rooms, r)
}

// own says whether a thing is part of a room of the scope.
func (c *Scope) own(owner string) bool { return slices.Contains(c.Rooms, c.building.part[owner]) }

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
		i = c.holder(c.building.part[p.Owner])
		held = true
	}
	if !held || i < 0 {
		return Holder{}, false
	}
	return c.holders[i], true
}

// RoomOutside is the room outside the scope that a place is part of; empty for none.
func (c *Scope) RoomOutside(p name.Point) string {
	if !c.out(p.Owner) {
		return ""
	}
	return c.building.part[p.Owner]
}

// Rank is the place of a session among the holders; after all of them for any other.
func (c *Scope) Rank(session string) int {
	if i := slices.IndexFunc(c.holders, func(h Holder) bool { return h.Session == session }); i >= 0 {
		return i
	}
	return len(c.holders)
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
