package arrange

import (
	"slices"

	"bayhand/model/disjoint"
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// A zone is bays between which cords reach. What is wanted from one zone to another
// takes a tie, and two cords instead of one; where there is no tie it cannot be. All
// bays are one question: the sum over columns counts that too, and what gear belongs to
// a zone costs a plug a session for each port that stands in another.

// findZones finds the zone of each bay, and of each port that which its gear stands by.
func (r *room) findZones() {
	s := r.studio
	joined, walls := disjoint.New(len(s.Bays)), layout.NewWalls(s)
	for b := range s.Bays {
		for a := range b {
			if !walls.Between(s.Bays[a].Name, s.Bays[b].Name) && r.cordReaches(s.Bays[a], s.Bays[b]) {
				joined.Join(a, b)
			}
		}
	}
	of := make([]int, len(s.Bays))
	for b := range of {
		of[b] = joined.Root(b)
	}
	r.bayZones = of
	r.findTies()
	for _, at := range r.slots {
		r.zones = append(r.zones, of[at.bay])
		r.zoned = r.zoned || of[at.bay] != of[r.slots[0].bay]
	}
	for _, ports := range [][]port{r.outputs, r.inputs} {
		for n := range ports {
			ports[n].home = r.homeOf(ports[n])
		}
	}
}

// cordReaches says whether a cord that is owned, or to be had, reaches between two bays
// somewhere.
func (r *room) cordReaches(a, b studio.Bay) bool {
	for _, n := range []int{1, a.Pairs()} {
		for _, m := range []int{1, b.Pairs()} {
			length, ok := layout.Shortest(r.studio, a.BottomJack(n), b.TopJack(m))
			if ok && (!r.studio.Stock.Unlimited || length <= made[len(made)-1]) {
				return true
			}
		}
	}
	return false
}

// homeOf is the zone that a port belongs to: that of its jack, or of the bay that is the
// nearest to its gear; none where neither is known.
func (r *room) homeOf(p port) int {
	if at := r.slotOf(p.jack); at >= 0 {
		return r.zones[at]
	}
	if g := r.studio.GearNamed(p.point.Owner); g == nil || !g.Place.Said {
		return none
	}
	lengths, zone, least := layout.NewLengths(r.studio), none, measure.Length(0)
	for n, b := range r.studio.Bays {
		way, _, ok := lengths.Length(studio.Run{}, name.At(p.point.Owner, p.point.Stem, p.point.Number), b.TopJack(1))
		if ok && (zone == none || way < least) {
			zone, least = r.bayZones[n], way
		}
	}
	return zone
}

// findTies finds what a signal from a zone to another costs: less where a tie leads there.
func (r *room) findTies() {
	r.crossings = make([][]int64, len(r.studio.Bays))
	for a := range r.crossings {
		r.crossings[a] = slices.Repeat([]int64{noTie}, len(r.studio.Bays))
	}
	zone := func(p name.Point) int {
		at := slices.IndexFunc(r.studio.Bays, func(b studio.Bay) bool { return b.Name == p.Owner })
		if at < 0 {
			return none
		}
		return r.bayZones[at]
	}
	for _, t := range r.studio.Ties {
		if a, b := zone(t.A), zone(t.B); a != none && b != none {
			r.crossings[a][b], r.crossings[b][a] = byTie, byTie
		}
	}
	for a := range r.crossings {
		r.crossings[a][a] = 0
	}
}

// What a destination costs that is wanted from another zone, in plugs: a second cord
// where there is a tie, else more than anything that could be saved for it.
const (
	byTie = 2
	noTie = 100
)

// zoneCosts is what stands in two spans of columns and in another zone than it belongs
// to, or than what wants it, in plugs of all sessions. It takes as many steps as there
// are signals to and from there.
func (c *columns) zoneCosts(a, b span) int64 {
	sum := int64(0)
	for _, s := range [...]span{a, b} {
		for n := s.from; n < s.to; n++ {
			if o := c.top[n]; o != none {
				sum += c.strayed(c.room.outputs[o], n)
				for _, to := range c.pricing.flow.to[o] {
					sum += to.weight * c.room.crossing(n, c.bottomAt[to.port])
				}
			}
			if i := c.bottom[n]; i != none {
				sum += c.strayed(c.room.inputs[i], n)
				for _, from := range c.pricing.flow.from[i] {
					if at := c.topAt[from.port]; !a.has(at) && !b.has(at) {
						sum += from.weight * c.room.crossing(at, n)
					}
				}
			}
		}
	}
	return sum
}

// strayed is what a port of a zone costs in a column: a plug a session in another one, and
// behind a wall more than anything that could be saved for it.
func (c *columns) strayed(p port, n int) int64 {
	switch {
	case places{c.room}.parts(p, n):
		return noTie * c.pricing.weight
	case p.home == none || p.home == c.room.zones[n]:
		return 0
	}
	return c.pricing.weight
}

// crossing is what a signal from a column to another costs for the zones that they are in.
func (r *room) crossing(from, to int) int64 {
	return r.crossings[r.zones[from]][r.zones[to]]
}
