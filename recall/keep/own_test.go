package keep_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"bayhand/model/planner"
	"bayhand/recall/keep"
)

// says is how far each room is, and whether it has all of its session.
func says(s keep.Status) string {
	var all []string
	for _, r := range s.Rooms {
		all = append(all, fmt.Sprintf("%s %s %s %t", r.Room, r.Session, r.Phase, !r.NotGiven))
	}
	return strings.Join(all, ", ")
}

// A room whose session is not possible does not become ready by a recall in another one,
// nor is the other one kept from it.
func TestGivenIsEachRoomsOwn(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		faulty := keep.Act{Do: keep.Faulty, A: jackOf("far/b1")}
		if _, err := asked(b.keeper, faulty); err != nil {
			t.Fatal(err)
		}
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "concert", Options: keep.RecallOptions{Partly: true}}); err != nil {
			t.Fatal(err)
		}
		b.untilNothingIsLeft()
		b.recall("mixdown")
		b.isSaid(b.untilNothingIsLeft(), "live concert stuck false, mix mixdown given true", "stage/in1")

		// It is so over a restart, and until the jack is mended.
		b.end()
		config := b.config()
		config.Plan = planner.Make
		b.startWith(config)
		b.isSaid(b.status(), "live concert stuck false, mix mixdown given true", "stage/in1")
		if _, err := asked(b.keeper, keep.Act{Do: keep.Sound, A: faulty.A}); err != nil {
			t.Fatal(err)
		}
		b.isSaid(b.untilNothingIsLeft(), "live concert given true, mix mixdown given true", "")
	})
}

// A room that is in no session waits for nothing while another one has cords to plug, but
// has them where it is brought to rest itself.
func TestNoSessionIsIdle(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		b.isSaid(b.recall("concert"), "live concert waiting true, mix  idle true", "")
		b.isSaid(b.untilNothingIsLeft(), "live concert given true, mix  idle true", "")
		s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: keep.RestName, Options: keep.RecallOptions{Room: "live"}})
		if err != nil {
			t.Fatal(err)
		}
		b.isSaid(s, "live  waiting true, mix  idle true", "")
	})
}

// A room is ready once its own steps are done, whatever is left to plug in another one.
func TestReadyBesideCordsToPlug(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		b.isSaid(b.recall("concert"), "live concert waiting true, mix  idle true", "")
		b.isSaid(b.recall("mixdown"), "live concert waiting true, mix mixdown waiting true", "")
		b.isSaid(b.done("main/"), "live concert waiting true, mix mixdown given true", "")
		b.isSaid(b.done("far/"), "live concert given true, mix mixdown given true", "")
	})
}

// done has the steps reported that are about jacks of a bay.
func (b *bench) done(bay string) keep.Status {
	b.t.Helper()
	s := b.status()
	var ids []string
	for _, left := range s.Left {
		if len(left.Ends) > 0 && strings.HasPrefix(left.Ends[0].String(), bay) {
			ids = append(ids, left.ID)
		}
	}
	if len(ids) == 0 {
		b.t.Fatalf("nothing is left at %s: %v", bay, s.Left)
	}
	s, err := asked(b.keeper, keep.Act{Do: keep.WereDone, IDs: ids})
	if err != nil {
		b.t.Fatal(err)
	}
	return s
}

// What breaks in one room is said of that room, and the one that was recalled last stays
// ready with a plan of its own session.
func TestWhatBreaksElsewhere(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		for _, session := range []string{"concert", "mixdown"} {
			b.recall(session)
			b.untilNothingIsLeft()
		}
		if _, err := asked(b.keeper, keep.Act{Do: keep.Faulty, A: jackOf("far/b1")}); err != nil {
			t.Fatal(err)
		}
		s := b.status()
		b.isSaid(s, "live concert stuck false, mix mixdown given true", "stage/in1")
		if s.Plan.Session != "mixdown" || !s.Plan.Given || len(s.Plan.Missing) > 0 {
			t.Errorf("the plan is for %s, given %t, and lacks %v", s.Plan.Session, s.Plan.Given, s.Plan.Missing)
		}
		// Recalled again, it is what cannot be given, and the other one is not.
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "concert", Options: keep.RecallOptions{Partly: true}}); err != nil {
			t.Fatal(err)
		}
		s = b.untilNothingIsLeft()
		if got := says(s); got != "live concert stuck false, mix mixdown given true" {
			t.Errorf("the rooms are: %s", got)
		}
	})
}

// isSaid fails unless the rooms are so, and the one problem of another room names a place.
func (b *bench) isSaid(s keep.Status, want, lacks string) {
	b.t.Helper()
	if got := says(s); got != want {
		b.t.Errorf("the rooms are: %s; want %s", got, want)
	}
	is := func(p keep.Problem) bool { return p.Code == "room-not-given" }
	at := slices.IndexFunc(s.Problems, is)
	if at >= 0 != (lacks != "") || at >= 0 && !strings.Contains(s.Problems[at].Message, lacks) {
		b.t.Errorf("the problems are %v", s.Problems)
	}
}

// untilNothingIsLeft has all steps reported, also where something is not possible then.
func (b *bench) untilNothingIsLeft() keep.Status {
	b.t.Helper()
	for range 9 {
		s, err := asked(b.keeper, keep.Act{Do: keep.WereDone, All: true})
		if err != nil {
			b.t.Fatal(err)
		}
		if len(s.Left) == 0 {
			return b.status()
		}
	}
	b.t.Fatalf("left are %s", steps(b.status().Left))
	return keep.Status{}
}
