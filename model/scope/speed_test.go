package scope_test

import (
	"testing"

	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/scope"
	"bayhand/simulators/rooms/buildings"
)

// The plan for one room of a building of sixty, all others in sessions of theirs, with
// the cut, against the cut alone.
func BenchmarkRoomOfSixty(b *testing.B) {
	house := buildings.Draw(buildings.Size{Rooms: 60, Matrices: 16, Pairs: 28, Units: 20}, 1)
	s := house.Studio
	var holders []scope.Holder
	in := patch.Patch{}
	for _, two := range house.Sessions[1:] {
		c := scope.New(s, scope.RoomsOf(s, two[0]), two[0], nil, patch.Patch{})
		p, err := planner.Make(b.Context(), plan.Request{Studio: c.Studio, Session: two[0], Held: c.Held})
		if err != nil || !p.Given {
			b.Fatal(err, p)
		}
		in = scope.Join(in, patch.Patch(p.Target))
		holders = append(holders, scope.Holder{Session: two[0].Name, Rooms: scope.RoomsOf(s, two[0]), Wanted: two[0]})
	}
	wanted := house.Sessions[0][0]
	rooms := scope.RoomsOf(s, wanted)
	b.Run("cut", func(b *testing.B) {
		for b.Loop() {
			scope.New(s, rooms, wanted, holders, in, in)
		}
	})
	b.Run("plan", func(b *testing.B) {
		for b.Loop() {
			c := scope.New(s, rooms, wanted, holders, in, in)
			inside, _ := c.Split(in)
			p, err := planner.Make(b.Context(), plan.Request{Studio: c.Studio, From: inside, Session: wanted, Held: c.Held})
			if err != nil || !p.Given {
				b.Fatal(err, p)
			}
		}
	})
}
