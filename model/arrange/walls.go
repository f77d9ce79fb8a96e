package arrange

import (
	"cmp"
	"slices"
	"strings"

	"bayhand/model/layout"
)

// No cable goes through a wall: what stands in a room comes to the bays of that room, and
// to bays that are in no room. A cable that goes through one already stays where it ends.

// findPlaces finds the place of each port, by the bay that it is wired to or else by its
// gear, and that of each column; 0 for what is in no room.
func (r *room) findPlaces() {
	walls := layout.NewWalls(r.studio)
	for _, ports := range [][]port{r.outputs, r.inputs} {
		for n := range ports {
			p := &ports[n]
			p.place = walls.Place(p.point.Owner)
			if at := walls.Place(p.jack.Owner); at != 0 {
				p.place = at
			}
		}
	}
	for _, at := range r.slots {
		place := walls.Place(r.studio.Bays[at.bay].Name)
		r.places = append(r.places, place)
		r.walled = r.walled || place != 0
	}
}

// apart says whether an output and an input stand in different places, so that no column
// has both.
func (r *room) apart(o, i int) bool {
	a, b := r.outputs[o].place, r.inputs[i].place
	return a != b && a != 0 && b != 0
}

// throughWall says whether the cable of a port to a column would go through a wall.
func (r *room) throughWall(p port, n int) bool {
	return p.place != 0 && r.places[n] != 0 && p.place != r.places[n]
}

// wallsThrough says whether the cable of a row's port in a column would.
func (c *columns) wallsThrough(row part, from, to int) bool {
	if row != bottoms && c.top[from] != none && c.room.throughWall(c.room.outputs[c.top[from]], to) {
		return true
	}
	return row != tops && c.bottom[from] != none && c.room.throughWall(c.room.inputs[c.bottom[from]], to)
}

// throughWalls says whether any cable of a layout would.
func (c *columns) throughWalls() bool {
	return c.room.walled && slices.ContainsFunc(span{0, len(c.top)}.all(), func(n int) bool { return c.wallsThrough(both, n, n) })
}

func (s span) all() []int {
	var all []int
	for n := s.from; n < s.to; n++ {
		all = append(all, n)
	}
	return all
}

// keepWithin brings what would go through a wall to columns of its place: whole columns
// where that can be, else the upper or the lower jack alone.
func (c *columns) keepWithin() {
	for _, row := range []part{both, tops, bottoms} {
		for n := range c.top {
			if !c.room.walled || !c.wallsThrough(row, n, n) {
				continue
			}
			fits := func(m int) bool {
				return !c.wallsThrough(row, n, m) && (!c.wallsThrough(row, m, n) || c.wallsThrough(row, m, m))
			}
			if m := slices.IndexFunc(span{0, len(c.top)}.all(), fits); m >= 0 {
				c.swap(row, n, m, 1)
			}
		}
	}
}

// fitPlaces leaves out the gear of each place that sessions ask for the least until what
// is left has room on the bays there.
func (r *room) fitPlaces(q *Request) (left []port) {
	if !r.walled {
		return nil
	}
	for _, place := range slices.Compact(slices.Sorted(slices.Values(r.places))) {
		for place != 0 {
			owner, full := r.tooMany(place, q)
			if !full {
				break
			}
			of := func(p port) bool { return p.point.Owner == owner && p.place == place }
			for _, row := range []*[]port{&r.outputs, &r.inputs} {
				for _, p := range *row {
					if of(p) {
						left = append(left, p)
					}
				}
				*row = slices.DeleteFunc(*row, of)
			}
			r.findInserts(q)
		}
	}
	return left
}

// tooMany is the gear of a place that goes first, where more of it stands there than has
// room on the bays of the place and on those in no room.
func (r *room) tooMany(place int, q *Request) (owner string, full bool) {
	slots := 0
	for _, at := range r.places {
		if at == place || at == 0 {
			slots++
		}
	}
	var owners []string
	for _, row := range [][]port{r.outputs, r.inputs} {
		there := 0
		for _, p := range row {
			if p.place == place {
				there++
				owners = append(owners, p.point.Owner)
			}
		}
		full = full || there > slots
	}
	if !full {
		return "", false
	}
	worth := r.worth(q)
	return slices.MinFunc(owners, func(a, b string) int { return cmp.Or(cmp.Compare(worth[a], worth[b]), strings.Compare(a, b)) }), true
}
