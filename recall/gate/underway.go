package gate

import (
	"maps"
	"slices"
	"sync"

	"bayhand/recall/border"
)

// underway are the lines about which something is on its way.
type underway struct {
	// mu guards the fields below.
	mu sync.Mutex
	// reserved are lines that acts on the way mean to take, with how many do.
	reserved map[border.Place]int
	// returning are lines that the table was asked to take back, until they are claimed anew: it
	// may have them though its answer is lost, so they are not held here.
	returning map[border.Place]bool
}

func newUnderway(returning []border.Place) *underway {
	u := &underway{reserved: map[border.Place]int{}, returning: map[border.Place]bool{}}
	for _, p := range returning {
		u.returning[p] = true
	}
	return u
}

// reserve keeps lines from being given back until it is undone.
func (u *underway) reserve(places []border.Place) {
	u.mu.Lock()
	defer u.mu.Unlock()
	for _, p := range places {
		u.reserved[p]++
	}
}

func (u *underway) unreserve(places []border.Place) {
	u.mu.Lock()
	defer u.mu.Unlock()
	for _, p := range places {
		if u.reserved[p]--; u.reserved[p] == 0 {
			delete(u.reserved, p)
		}
	}
}

// expected are the lines of which plans need some, though none is made on them yet.
func (u *underway) expected() []string {
	u.mu.Lock()
	defer u.mu.Unlock()
	var all []string
	for p := range u.reserved {
		all = append(all, string(p))
	}
	slices.Sort(all)
	return all
}

// sendBack notes that lines are on their way back, before the table is told. All are those that
// nobody has reserved; fresh are those of them that were not on their way before.
func (u *underway) sendBack(places []border.Place) (all, fresh []border.Place) {
	u.mu.Lock()
	defer u.mu.Unlock()
	for _, p := range places {
		if u.reserved[p] > 0 {
			continue
		}
		all = append(all, p)
		if !u.returning[p] {
			fresh = append(fresh, p)
			u.returning[p] = true
		}
	}
	return all, fresh
}

// keep notes that lines are not on their way back: they were claimed anew, after which the table
// takes back none that it was told of before, or it refused to take them.
func (u *underway) keep(places []border.Place) {
	u.mu.Lock()
	defer u.mu.Unlock()
	for _, p := range places {
		delete(u.returning, p)
	}
}

func (u *underway) isReturning(p border.Place) bool {
	u.mu.Lock()
	defer u.mu.Unlock()
	return u.returning[p]
}

// known is what a host knows by a table: its rooms hold nothing that is on its way back.
func (u *underway) known(t border.Table, own func(room string) bool) Known {
	t = t.Clone()
	u.mu.Lock()
	defer u.mu.Unlock()
	for p := range u.returning {
		if own(t.Holds[p].Room) {
			delete(t.Holds, p)
		}
	}
	return Known{Format: border.Format, Table: t, Returning: slices.Sorted(maps.Keys(u.returning))}
}
