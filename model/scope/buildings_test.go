package scope_test

import (
	"fmt"
	"os"
	"strconv"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/scope"
	"bayhand/model/session"
	"bayhand/simulators/rooms/buildings"
)

// A plan for a room alone handles as many plugs as one for the whole building in which
// all other sessions are asked for as well, by a floor that is no lower, and gives what
// that gives: BAYHAND_BUILDINGS says in how many buildings of several sizes. Where it
// is not said, two rooms are compared for their last recalls.
func TestScopeIsAsGoodAsTheWhole(t *testing.T) {
	many, err := strconv.Atoi(os.Getenv("BAYHAND_BUILDINGS"))
	if err != nil {
		compare(t, buildings.Draw(buildings.Size{Rooms: 2, Pairs: 28, Units: 1, Owned: 20}, 1), 3)
		return
	}
	for seed := range uint64(many) {
		size := buildings.Size{Rooms: 2 + int(seed%3), Matrices: 1 + int(seed%2), Pairs: 28, Units: 2}
		if seed%3 == 2 {
			size.Owned = 30
		}
		t.Run(fmt.Sprint(seed, size), func(t *testing.T) { compare(t, buildings.Draw(size, seed), 0) })
	}
}

// compare recalls the first session of each room, then the second of one after another,
// and holds the plans of those from a number on against plans of the whole.
func compare(t *testing.T, b buildings.Building, from int) {
	t.Helper()
	held := map[int]*session.Session{}
	in := b.Studio.Rest.Clone()
	for i := range 2 * len(b.Sessions) {
		r := i % len(b.Sessions)
		wanted := b.Sessions[r][i/len(b.Sessions)]
		var holders []scope.Holder
		together := &session.Session{Name: wanted.Name, Program: -1}
		for other, s := range held {
			if other != r {
				holders = append(holders, scope.Holder{Session: s.Name, Rooms: scope.RoomsOf(b.Studio, s), Wanted: s})
			}
		}
		held[r] = wanted
		for _, s := range held {
			together.Wants = append(together.Wants, s.Wants...)
		}
		c := scope.New(b.Studio, scope.RoomsOf(b.Studio, wanted), wanted, holders, in)
		inside, outside := c.Split(in)
		one := made(t, plan.Request{Studio: c.Studio, From: inside, Session: wanted, Held: c.Held})
		if i >= from {
			all := made(t, plan.Request{Studio: b.Studio, From: in, Session: together})
			if one.Given != all.Given || one.Plugs > all.Plugs || one.Least < all.Least {
				t.Errorf("%s in its rooms: given %v, %d plugs of %d at least; in the whole: %v, %d of %d",
					wanted.Name, one.Given, one.Plugs, one.Least, all.Given, all.Plugs, all.Least)
			}
		}
		if !one.Given {
			t.Fatalf("%s: %+v", wanted.Name, one.Missing)
		}
		in = scope.Join(patch.Patch(one.Target), outside)
		if faults := heard.NewRoom(b.Studio).Judge(together, nil).Faults(heard.NewRoom(b.Studio).Hear(in)); len(faults) > 0 {
			t.Errorf("after %s: %v", wanted.Name, faults)
		}
	}
}

func made(t *testing.T, ask plan.Request) *plan.Plan {
	t.Helper()
	p, err := planner.Make(t.Context(), ask)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
