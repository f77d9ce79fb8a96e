package scope

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Building is what is the same in every cut of a studio: which places are joined for good,
// and the rooms that these are in. It never changes, and is safe for concurrent use.
type Building struct {
	part map[string]string // the room of each bay, box, matrix and gear
	// index is the number of each room.
	index map[string]int
	// points are those that something is soldered to, number finds them.
	points []name.Point
	number map[name.Point]int
	// fixed is the metal of each point, by its least point; room is that of its owner, -1
	// for none.
	fixed []int
	room  []int
}

// NewBuilding reads a studio, in time linear in what is soldered.
func NewBuilding(s *studio.Studio) *Building {
	b := &Building{part: map[string]string{}, index: map[string]int{}, number: map[name.Point]int{}}
	for i, r := range s.Rooms {
		b.index[r.Name] = i
		for _, p := range r.Parts {
			b.part[p] = r.Name
		}
	}
	m := &metal{building: b, more: map[name.Point]int{}}
	m.solder(s)
	b.number, b.points = m.more, m.points
	for n, p := range b.points {
		b.fixed = append(b.fixed, m.root(n))
		b.room = append(b.room, b.roomOf(p))
	}
	return b
}

// PartOf is the room that a bay, box, matrix or gear is part of by its name; empty where
// it is in none.
func (b *Building) PartOf(owner string) string { return b.part[owner] }

// roomOf is the number of the room that the owner of a place is part of; -1 for none.
func (b *Building) roomOf(p name.Point) int {
	if i, ok := b.index[b.part[p.Owner]]; ok {
		return i
	}
	return -1
}

// metal is what is joined for good.
func (b *Building) metal() *metal {
	return &metal{building: b, above: slices.Clone(b.fixed), more: map[name.Point]int{}}
}

// New is the scope of a session in some rooms of a studio, where others hold sessions,
// with the patches that are to be respected: the one that is in, and the one that
// rooms are on their way to, whose cords and dummies are in use as well. A nil session is rest. It takes time linear in the studio
// and the patches.
func New(s *studio.Studio, rooms []string, wanted *session.Session, holders []Holder, patches ...patch.Patch) *Scope {
	return NewBuilding(s).Scope(s, rooms, wanted, holders, patches...)
}

// Scope is New for a studio of which the building is known: one with the same bays, wires,
// ties and mults, but maybe with guests and tags.
func (b *Building) Scope(s *studio.Studio, rooms []string, wanted *session.Session, holders []Holder, patches ...patch.Patch) *Scope {
	c := &Scope{Rooms: slices.Sorted(slices.Values(rooms)), whole: s, wanted: wanted, building: b, holders: holders, theirs: map[name.Point]int{}}
	c.of = map[string]int{}
	for i, h := range holders {
		for _, r := range h.Rooms {
			c.of[r] = i
		}
	}
	c.lookUp(s.Rooms)
	c.claimLines(b.metal())
	for i, p := range patches {
		m := b.metal()
		m.plug(s, p)
		c.claimHeld(m, p)
		if i == 0 {
			c.seal(m)
		}
	}
	c.in, c.next, c.InUse = patches[0], patches[1:], c.use(patches)
	c.cut(patches[0])
	return c
}
