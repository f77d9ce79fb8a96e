//go:build !race

package planner_test

import (
	"testing"

	"bayhand/model/heard"
	"bayhand/model/planner"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
)

// Where every patch can be tried, no more has to be left out by prices than is enough, and what is left out
// is enough, and the fewest there is.
func TestFewestLeftOutOfAll(t *testing.T) {
	one, several := 0, 0
	for seed := range tinyRooms(t, 300) {
		tiny := drawTiny(seed + 13e6)
		room := heard.NewRoom(tiny.studio)
		if _, _, any := tiny.best(room); any {
			continue
		}
		fewest := fewestOfAll(tiny, room)
		least, err := planner.LeftOutByPrices(t.Context(), room, tiny.present, tiny.session)
		if err != nil {
			t.Fatal(err)
		}
		if least > fewest {
			t.Errorf("tiny %d: %d are enough to leave out, and by prices at least %d\n%v", seed, fewest, least, tiny)
		}
		left, err := planner.FewestLeftOut(t.Context(), room, tiny.present, tiny.session)
		switch {
		case err != nil:
			t.Fatal(err)
		case len(left) == 0:
			continue
		case len(left) != fewest:
			t.Errorf("tiny %d: %v is left out, and %d are enough\n%v", seed, left, fewest, tiny)
		case !tiny.gives(room, withoutAll(tiny.session, left)):
			t.Errorf("tiny %d: without %v there is no plan\n%v", seed, left, tiny)
		}
		if one++; fewest > 1 {
			several++
		}
	}
	t.Logf("%d with what is left out, of which %d with several", one, several)
	if one < 20/planner.Share || several < 2/planner.Share {
		t.Errorf("%d with what is left out, of which %d with several prove too little", one, several)
	}
}

// fewestOfAll is how many wants and silences are left out at least, by all patches for all that is left.
func fewestOfAll(tiny tiny, room *heard.Room) int {
	p, err := problem.New(room, tiny.present, tiny.session, problem.Options{})
	if err != nil {
		panic(err)
	}
	wishes := exact.Wishes(p)
	fewest := len(wishes)
	for set := range 1 << len(wishes) {
		var left []string
		for i, w := range wishes {
			if set>>i&1 == 1 {
				left = append(left, w.Text)
			}
		}
		if len(left) > 0 && len(left) < fewest && tiny.gives(room, withoutAll(tiny.session, left)) {
			fewest = len(left)
		}
	}
	return fewest
}

// gives says whether any patch gives another session than the room's.
func (tiny tiny) gives(room *heard.Room, s *session.Session) bool {
	tiny.session = s
	_, _, any := tiny.best(room)
	return any
}

func withoutAll(s *session.Session, left []string) *session.Session {
	for _, w := range left {
		s = sessionWithout(s, w)
	}
	return s
}
