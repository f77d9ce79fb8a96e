package scope

import (
	"slices"

	"bayhand/model/layout"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// The cords and dummies owned are for all rooms. Those that a room has in are in use, and
// so are those that its session still asks for: whoever takes them leaves that room
// without.

// use is what of some patches is not for plans of the scope: of the one that is in, and
// of those that rooms are on their way to.
func (c *Scope) use(patches []patch.Patch) patch.Patch {
	var all patch.Patch
	for _, p := range patches {
		_, theirs := c.Split(p)
		all = united(all, theirs)
	}
	return all
}

// united is all that is in use on the way from one patch to another: what is in either,
// once. Two cords of a length with a jack in common are one as well: there the first is
// pulled or moved before the second comes in. It takes time linear in the patches.
func united(from, to patch.Patch) patch.Patch {
	at := map[name.Point]int{} // the cord of from that is in a jack
	for i, one := range from.Cords {
		for _, p := range one.Ends() {
			at[p] = i
		}
	}
	stays := make([]bool, len(from.Cords)) // those that are in to, or become one of these
	isIn := func(one patch.Cord) bool {
		i, is := at[one.A]
		if is = is && from.Cords[i].Same(one); is {
			stays[i] = true
		}
		return is
	}
	becomes := func(one patch.Cord) bool {
		for _, p := range one.Ends() {
			if i, is := at[p]; is && !stays[i] && from.Cords[i].Length == one.Length {
				stays[i] = true
				return true
			}
		}
		return false
	}
	fresh := slices.DeleteFunc(slices.Clone(to.Cords), isIn)
	fresh = slices.DeleteFunc(fresh, becomes)
	return patch.Patch{
		Cords: slices.Concat(from.Cords, fresh), Leads: either(from.Leads, to.Leads),
		Dummies: either(from.Dummies, to.Dummies), Crosspoints: either(from.Crosspoints, to.Crosspoints),
	}
}

// either are those of two lists, once each.
func either[T comparable](a, b []T) []T {
	has := make(map[T]bool, len(a))
	for _, one := range a {
		has[one] = true
	}
	return slices.Concat(a, slices.DeleteFunc(slices.Clone(b), func(one T) bool { return has[one] }))
}

// left is a stock without cords that are in use elsewhere.
func left(s *studio.Studio, stock []studio.StockCord, used []patch.Cord) []studio.StockCord {
	all := slices.Clone(stock)
	for _, u := range saidFirst(used) {
		if k := kindOf(s, all, u); k >= 0 {
			all[k].Count--
		}
	}
	return all
}

// saidFirst are cords in the order in which they are counted: one whose length nobody
// said is the shortest that reaches, of what the others leave.
func saidFirst(cords []patch.Cord) []patch.Cord {
	said := func(c patch.Cord) bool { return c.Length != 0 }
	unsaid := func(c patch.Cord) bool { return c.Length == 0 }
	return slices.Concat(slices.DeleteFunc(slices.Clone(cords), unsaid), slices.DeleteFunc(slices.Clone(cords), said))
}

// Contested are the cords and dummies in use elsewhere of which there are too few beside a
// patch of the scope: all of each kind of cord that the patch takes more of than is left,
// and all dummies. What is plugged is owned, even where the file forgot it. It takes time
// linear in the cords, for each kind owned.
func (c *Scope) Contested(p patch.Patch) (cords []patch.Cord, dummies []name.Point) {
	if s := c.whole; s.Dummies >= 0 && len(p.Dummies)+len(c.InUse.Dummies) > max(s.Dummies, len(c.in.Dummies)) {
		dummies = c.InUse.Dummies
	}
	if c.whole.Stock.Unlimited {
		return nil, dummies
	}
	owned := owned(c.whole, c.in.Cords)
	rest, lacks := left(c.whole, owned, c.InUse.Cords), map[int]bool{}
	for _, one := range saidFirst(p.Cords) {
		if k := kindOf(c.whole, rest, one); k >= 0 {
			rest[k].Count--
		} else {
			lacks[kindOf(c.whole, owned, one)] = true
		}
	}
	cords = slices.DeleteFunc(slices.Clone(c.InUse.Cords), func(one patch.Cord) bool {
		k := kindOf(c.whole, owned, one)
		return k < 0 || !lacks[k]
	})
	return cords, dummies
}

// owned is the stock of a studio with what is in beyond what the file has of a kind.
func owned(s *studio.Studio, in []patch.Cord) []studio.StockCord {
	all, rest := slices.Clone(s.Stock.Cords), slices.Clone(s.Stock.Cords)
	for _, one := range saidFirst(in) {
		if k := kindOf(s, rest, one); k >= 0 {
			rest[k].Count--
		} else if k = kindOf(s, all, one); k >= 0 {
			all[k].Count++
		}
	}
	return all
}

// kindOf is the kind of the stock that a cord is of, by its length, plugs and poles, of
// which there is one; -1 for none. Poles count where that leaves a choice.
func kindOf(s *studio.Studio, stock []studio.StockCord, u patch.Cord) int {
	best := -1
	for i, k := range stock {
		long := k.Length == u.Length || u.Length == 0 && (u.B.IsZero() || layout.Reaches(s, u.A, u.B, k.Length))
		if k.Count <= 0 || !long || !layout.Fits(k.Ends, layout.Kind(s, u.A), layout.Kind(s, u.B)) {
			continue
		}
		if best < 0 || poles(k, u) && !poles(stock[best], u) || poles(k, u) == poles(stock[best], u) && k.Length < stock[best].Length {
			best = i
		}
	}
	return best
}

// poles says whether a kind of cord has as many as a cord.
func poles(k studio.StockCord, u patch.Cord) bool { return (k.Poles == 2) == (u.Poles == 2) }
