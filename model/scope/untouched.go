package scope

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// sealing says of each piece of metal of the patch that is in which holder has all of it,
// by the numbers of its places. No cord, lead or crosspoint between two pieces that
// holders have can alter a cut: it joins nothing that is in no room, nor anything of a
// room that the scope could have.
type sealing struct {
	metal *metal
	by    []int // -1 where no holder has all of it
}

func (c *Scope) seal(m *metal) {
	const nobodyYet = -2
	of := make([]int, m.size())
	for n := range of {
		of[n] = nobodyYet
	}
	for n := range of {
		_, room := m.place(n)
		at, by := &of[m.root(n)], c.holderOfRoom(room)
		if *at == nobodyYet {
			*at = by
		} else if *at != by {
			*at = -1
		}
	}
	all := make([]int, m.size())
	for n := range all {
		all[n] = of[m.root(n)]
	}
	c.sealed = sealing{m, all}
}

// holderOfRoom is the number of the holder that has a room outside the scope, by the
// room's number; -1 for none.
func (c *Scope) holderOfRoom(room int) int {
	if room < 0 || c.isOwn[room] {
		return -1
	}
	return c.holding[room]
}

// theirsAlone says whether a holder has all metal of a place.
func (c *Scope) theirsAlone(p name.Point) bool {
	m := c.sealed.metal
	n, known := m.building.number[p]
	if !known {
		n, known = m.more[p]
	}
	if !known {
		return c.holderOfRoom(m.building.roomOf(p)) >= 0
	}
	return c.sealed.by[n] >= 0
}

// Untouched says whether the cut is the same with another patch in, all else being equal.
// It is cheap, and says so only where it is sure: where all that differs is in rooms that
// holders have, and takes nothing that the scope might need. It takes time linear in the
// patches.
func (c *Scope) Untouched(was, is patch.Patch) bool {
	var changed []name.Point
	cords := differing(was.Cords, is.Cords)
	for _, one := range cords {
		changed = append(changed, one.Ends()...)
	}
	for _, l := range differing(was.Leads, is.Leads) {
		changed = append(changed, l.Port, l.Jack)
	}
	dummies := differing(was.Dummies, is.Dummies)
	for _, x := range differing(was.Crosspoints, is.Crosspoints) {
		changed = append(changed, x.Output, x.Input)
	}
	if len(cords) > 0 && !c.whole.Stock.Unlimited || len(dummies) > 0 && c.whole.Dummies >= 0 {
		if !c.leavesAsMuch(is) {
			return false // what is left of the stock is the scope's
		}
	}
	return !slices.ContainsFunc(slices.Concat(changed, dummies), func(p name.Point) bool { return !c.theirsAlone(p) })
}

// leavesAsMuch says whether the same cords and dummies are in use elsewhere with another
// patch in, as where one was plugged that was still to come.
func (c *Scope) leavesAsMuch(is patch.Patch) bool {
	now := c.use(append([]patch.Patch{is}, c.next...))
	return len(differing(turned(c.InUse.Cords), turned(now.Cords))) == 0 && len(differing(c.InUse.Dummies, now.Dummies)) == 0
}

// turned are cords whose first end is the lesser.
func turned(cords []patch.Cord) []patch.Cord {
	all := slices.Clone(cords)
	for i, one := range all {
		if one.A.Compare(one.B) > 0 {
			all[i].A, all[i].B = one.B, one.A
		}
	}
	return all
}

// differing are those that one of two lists has more often than the other.
func differing[T comparable](was, is []T) []T {
	count := make(map[T]int, len(was))
	for _, one := range was {
		count[one]++
	}
	for _, one := range is {
		count[one]--
	}
	var all []T
	for _, one := range slices.Concat(was, is) {
		if count[one] != 0 {
			all = append(all, one)
			count[one] = 0
		}
	}
	return all
}
