package planner

import (
	"reflect"
	"slices"

	"bayhand/model/plan"
)

// Where several things are lacking, what is enough of each may not be enough of all: they are
// added together, and tried.

// cordsTried are how many cords are tried beside something else: what is added takes some, too.
const cordsTried = 4

// withCords adds cords to what is lacking, where the cords owned are too few for it.
func (e enough) withCords(all []plan.Missing, l lack) []plan.Addition {
	owned := ownedCords(e.made.problem)
	if l.add[0].What == plan.AddedCord || e.made.problem.Stock.Unlimited || len(owned) == 0 {
		return nil
	}
	cords := lack{add: []plan.Addition{{What: plan.AddedCord, Cord: toBuy(owned)}}, least: cordsTried}
	return e.inAll(all, []lack{l, cords})
}

// inAll adds of each that is lacking what is enough for it, or the least, and says that this
// is enough where a plan is found for all of it, with none of it too much. Where there are
// two ways to add, the first is tried, then the second.
func (e enough) inAll(all []plan.Missing, lacks []lack) []plan.Addition {
	asked := e.withOnly(all, missingOf(lacks))
	given := func(add []plan.Addition) (is, unknown bool) { return e.givenWith(asked, add...) }
	ways := 1
	for _, l := range lacks {
		ways = max(ways, min(2, l.ways()))
	}
	for way := range ways {
		var add []plan.Addition
		for _, l := range lacks {
			a := l.toAdd(way)
			if a.What == "" || slices.Contains(a.Of, "") {
				return nil
			}
			add = plus(add, a)
		}
		if is, _ := given(add); is {
			add = fewer(add, given)
			add[0].And = add[1:]
			return add[:1]
		}
	}
	return nil
}

// plus are additions with one more; like ones are one.
func plus(all []plan.Addition, a plan.Addition) []plan.Addition {
	for i, o := range all {
		if o.Count = a.Count; reflect.DeepEqual(o, a) {
			all[i].Count += a.Count
			return all
		}
	}
	return append(all, a)
}

// ways is how many ways there are to add something.
func (l lack) ways() int {
	if n := len(l.enough); n > 0 {
		return n
	}
	return len(l.add)
}

// toAdd is one of two ways to add something: as much as is enough, or the least.
func (l lack) toAdd(way int) plan.Addition {
	if n := len(l.enough); n > 0 {
		a := l.enough[min(way, n-1)]
		a.AtMost = false
		return a
	}
	a := l.add[min(way, len(l.add)-1)]
	if a.Count = max(1, l.least); a.What == plan.AddedMult {
		a.Count = 1
	}
	return a
}

// fewer are additions of which none is given up, nor one less of any; it says where that is not known.
func fewer(add []plan.Addition, given func([]plan.Addition) (is, unknown bool)) []plan.Addition {
	for i := 0; i < len(add); {
		less := slices.Clone(add)
		if less[i].Count--; less[i].Count == 0 {
			less = slices.Delete(less, i, i+1)
		}
		if len(less) > 0 {
			is, unknown := given(less)
			if is {
				add = less
				continue
			}
			add[i].AtMost = unknown
		}
		i++
	}
	return add
}
