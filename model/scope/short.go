package scope

import (
	"slices"

	"bayhand/model/measure"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Work is what hands still have to do in some rooms: cords that go in, and cords that come
// out there.
type Work struct{ In, Out []patch.Cord }

// Short is a kind of cord of which too few are left for what goes in.
type Short struct {
	Length measure.Length
	// Lacks is how many more it takes.
	Lacks int
	// Of are the works that need some, by their numbers.
	Of []int
	// Has are cords of the kind that are in.
	Has []patch.Cord
}

// TooFew are the kinds of cord of which too few lie in the drawer for some works: a work
// has what comes out in its own rooms, and all have what nobody has in and what is freed,
// which comes out elsewhere. In plans that were made
// beside each other there are none; what a hand plugs besides can take one. It takes time
// linear in the cords, for each kind owned.
func TooFew(s *studio.Studio, in patch.Patch, works []Work, freed []patch.Cord) []Short {
	if s.Stock.Unlimited {
		return nil
	}
	own := owned(s, in.Cords)
	drawer := left(s, own, in.Cords)
	all := make([]Short, len(own))
	for n, w := range works {
		needs := make([]int, len(own))
		count(s, own, w.In, needs, 1)
		count(s, own, w.Out, needs, -1)
		for k, need := range needs {
			if need > 0 {
				all[k].Lacks += need
				all[k].Of = append(all[k].Of, n)
			}
		}
	}
	more := make([]int, len(own))
	count(s, own, freed, more, 1)
	for k := range all {
		all[k].Length, all[k].Lacks = own[k].Length, all[k].Lacks-drawer[k].Count-more[k]
	}
	all = slices.DeleteFunc(all, func(one Short) bool { return len(one.Of) == 0 || one.Lacks <= 0 })
	for i := range all {
		all[i].Has = slices.DeleteFunc(slices.Clone(in.Cords), func(c patch.Cord) bool {
			k := kindOf(s, own, c)
			return k < 0 || own[k].Length != all[i].Length
		})
	}
	return all
}

// count adds a number to each kind for each cord of it.
func count(s *studio.Studio, stock []studio.StockCord, cords []patch.Cord, kinds []int, by int) {
	for _, c := range cords {
		if k := kindOf(s, stock, c); k >= 0 {
			kinds[k] += by
		}
	}
}
