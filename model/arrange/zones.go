package arrange

import (
	"slices"

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
	of := make([]int, len(s.Bays))
	for b := range of {
		of[b] = b
		for a := range b {
			if r.cordReaches(s.Bays[a], s.Bays[b]) {
				from, to := of[b], of[a]
				for n, z := range of[:b+1] {
					if z == from {
						of[n] = to
					}
				}
			}
		}
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
	at := slices.IndexFunc(r.studio.Gear, func(g studio.Gear) bool { return g.Name == p.point.Owner })
	if at < 0 || !r.studio.Gear[at].Place.Said {
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

// findTies finds between which zones a tie leads.
func (r *room) findTies() {
	r.tied = map[[2]int]bool{}
	zone := func(p name.Point) int {
		at := slices.IndexFunc(r.studio.Bays, func(b studio.Bay) bool { return b.Name == p.Owner })
		if at < 0 {
			return none
		}
		return r.bayZones[at]
	}
	for _, t := range r.studio.Ties {
		r.tied[[2]int{zone(t.A), zone(t.B)}], r.tied[[2]int{zone(t.B), zone(t.A)}] = true, true
	}
}

// What a destination costs that is wanted from another zone, in plugs: a second cord
// where there is a tie, else more than anything that could be saved for it.
const (
	byTie = 2
	noTie = 100
)

// zoneCosts is what stands in another zone than it belongs to, or than what wants it.
func (c *columns) zoneCosts() int64 {
	r, d := c.room, c.demand
	top, bottom := make([]int, d.outputs), make([]int, d.inputs)
	sum, home := int64(0), c.weight()
	for n, zone := range r.zones {
		if o := c.top[n]; o != none {
			top[o] = zone
			if at := r.outputs[o].home; at != none && at != zone {
				sum += home
			}
		}
		if i := c.bottom[n]; i != none {
			bottom[i] = zone
			if at := r.inputs[i].home; at != none && at != zone {
				sum += home
			}
		}
	}
	for s, w := range d.weights {
		for o, inputs := range d.wants[s] {
			for _, i := range inputs {
				switch {
				case i >= d.inputs || top[o] == bottom[i]:
				case r.tied[[2]int{top[o], bottom[i]}]:
					sum += w * byTie
				default:
					sum += w * noTie
				}
			}
		}
	}
	return sum * c.price.plug
}
