package scope

import (
	"slices"

	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Widened are rooms with those beside them that hold no session and that a cord or a
// lead of a patch joins to them: what is in there is nobody else's. Rooms that others
// hold are not among them.
func Widened(s *studio.Studio, rooms []string, holders []Holder, p patch.Patch) []string {
	return NewBuilding(s).Widened(s, rooms, holders, p)
}

// Widened is the same for a studio of which the building is known.
func (b *Building) Widened(s *studio.Studio, rooms []string, holders []Holder, p patch.Patch) []string {
	held := map[string]bool{}
	for _, h := range holders {
		for _, r := range h.Rooms {
			held[r] = true
		}
	}
	fixed := b.metal()
	plugs := p.Plugs()
	for _, q := range plugs {
		fixed.numbered(q)
	}
	plugged := fixed.copy()
	plugged.plug(s, patch.Patch{Cords: p.Cords, Leads: p.Leads})
	rooms = slices.Clone(rooms)
	for before := 0; before < len(rooms); {
		before = len(rooms)
		near, mine := make([]bool, plugged.size()), make([]bool, plugged.size())
		leads := make([]string, plugged.size())
		for n := range fixed.size() {
			_, room := fixed.place(n)
			if room < 0 {
				continue
			}
			switch r := s.Rooms[room].Name; {
			case slices.Contains(rooms, r):
				near[fixed.root(n)], mine[plugged.root(n)] = true, true
			case !held[r]:
				leads[fixed.root(n)] = r
			}
		}
		for _, q := range plugs {
			at := fixed.of(q)
			if r := leads[at]; r != "" && mine[plugged.of(q)] && !near[at] && !slices.Contains(rooms, r) {
				rooms = append(rooms, r)
			}
		}
	}
	return rooms
}
