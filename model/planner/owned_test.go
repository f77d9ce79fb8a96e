//go:build !race

package planner_test

import (
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/planner"
	"bayhand/model/studio"
	"bayhand/simulators/rooms/houses"
)

// Where every patch can be tried, what is owned is too little only where no patch gives the
// session, and what plans may have of it gives one wherever one does. So it is in homes with no more
// cords and dummies than a known answer holds, or any cords and no more dummies.
func TestOwnedIsEnoughForEveryPlan(t *testing.T) {
	none, found := 0, 0
	try := func(what string, seed uint64, room *heard.Room, r scarce, any bool) {
		isNone, isFound, err := planner.ByOwned(t.Context(), room, r.present, r.session, 20e6)
		if err != nil {
			t.Fatal(err)
		}
		if isNone && any {
			t.Errorf("%s %d: too little is owned, and there is a plan", what, seed)
		}
		if isNone {
			none++
		}
		if isFound {
			found++
		}
	}
	for seed := range tinyRooms(t, 100) {
		tiny := drawTiny(seed + 12e6)
		room := heard.NewRoom(tiny.studio)
		_, _, any := tiny.best(room)
		try("tiny", seed, room, scarce{room, tiny.present, tiny.session}, any)
	}
	for seed := range tinyRooms(t, 40) {
		s, asked, present, answer := houses.Draw(houses.Home, seed+70e3).Read()
		if seed%2 == 0 {
			present = patch.Patch{}
		}
		ownNoMore(s, answer)
		try("home", seed, heard.NewRoom(s), scarce{present: present, session: asked}, true)
		s.Stock = studio.Stock{Unlimited: true}
		try("home with all cords", seed, heard.NewRoom(s), scarce{present: present, session: asked}, true)
	}
	t.Logf("%d with too little, %d found", none, found)
	if none < 10/planner.Share || found < 50/planner.Share {
		t.Errorf("%d with too little, %d found prove too little", none, found)
	}
}

// ownNoMore leaves a studio no more cords and dummies than a patch holds.
func ownNoMore(s *studio.Studio, p patch.Patch) {
	s.Dummies = len(p.Dummies)
	s.Stock.Cords = slices.Clone(s.Stock.Cords)
	for i := range s.Stock.Cords {
		k := &s.Stock.Cords[i]
		holds := 0
		for _, c := range p.Cords {
			if c.Length == k.Length {
				holds++
			}
		}
		k.Count = min(k.Count, holds)
	}
}
