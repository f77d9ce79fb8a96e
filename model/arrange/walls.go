package arrange

import (
	"cmp"
	"slices"
	"strings"

	"bayhand/model/layout"
)

// No cable goes through a wall: what stands in a room comes to the bays of that room, and
// to bays that are in no room. A cable that goes through one already stays where it ends.

// walls are those around the columns of a layout.
type walls struct{ c *columns }

// places are those in which the ports and the columns of a room stand.
type places struct{ r *room }

// find finds the place of each port, by the bay that it is wired to or else by its
// gear, and that of each column; 0 for what is in no room.
func (w places) find() {
	r := w.r
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

// split says whether an output and an input stand in different places, so that no column
// has both.
func (w places) split(o, i int) bool {
	r := w.r
	a, b := r.outputs[o].place, r.inputs[i].place
	return a != b && a != 0 && b != 0
}

// parts says whether the cable of a port to a column would go through a wall.
func (w places) parts(p port, n int) bool {
	r := w.r
	return p.place != 0 && r.places[n] != 0 && p.place != r.places[n]
}

// through says whether the cable of a row's port in a column would.
func (w walls) through(row part, from, to int) bool {
	c, at := w.c, places{w.c.room}
	if row != bottoms && c.top[from] != none && at.parts(c.room.outputs[c.top[from]], to) {
		return true
	}
	return row != tops && c.bottom[from] != none && at.parts(c.room.inputs[c.bottom[from]], to)
}

// newlyCrossed is a column with a port whose cable goes through a wall to it, and did not
// come there in a layout before; none where there is none.
func (w walls) newlyCrossed(before *columns) (n int, p port) {
	c, at := w.c, places{w.c.room}
	for n := range c.top {
		if o := c.top[n]; o != none && o != before.top[n] && at.parts(c.room.outputs[o], n) {
			return n, c.room.outputs[o]
		}
		if i := c.bottom[n]; i != none && i != before.bottom[n] && at.parts(c.room.inputs[i], n) {
			return n, c.room.inputs[i]
		}
	}
	return none, port{}
}

// crossed says whether any cable of a layout goes through a wall.
func (w walls) crossed() bool {
	c := w.c
	return c.room.walled && slices.ContainsFunc(span{0, len(c.top)}.all(), func(n int) bool { return w.through(both, n, n) })
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
func (w walls) keepWithin() {
	c := w.c
	for _, row := range []part{both, tops, bottoms} {
		for n := range c.top {
			if !c.room.walled || !w.through(row, n, n) {
				continue
			}
			fits := func(m int) bool {
				return !w.through(row, n, m) && (!w.through(row, m, n) || w.through(row, m, m))
			}
			if m := slices.IndexFunc(span{0, len(c.top)}.all(), fits); m >= 0 {
				c.swap(row, n, m, 1)
			}
		}
	}
}

// fit leaves out the gear of each place that sessions ask for the least until what
// is left has room on the bays there.
func (w places) fit(q *Request) (left []port) {
	r := w.r
	if !r.walled {
		return nil
	}
	for _, place := range slices.Compact(slices.Sorted(slices.Values(r.places))) {
		for place != 0 {
			owner, full := w.tooMany(place, q)
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
func (w places) tooMany(place int, q *Request) (owner string, full bool) {
	r := w.r
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
