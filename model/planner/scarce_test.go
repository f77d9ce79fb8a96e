//go:build !race

package planner_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/simulators/rooms/houses"
)

// drawScarceHome draws a home from which half of the cords and some dummies were taken.
func drawScarceHome(seed uint64) scarce {
	s, asked, present, _ := houses.Draw(houses.Home, seed+60e3).Read()
	takeCords(s, rand.New(rand.NewPCG(seed, 0x637574)))
	return scarce{heard.NewRoom(s), present, asked}
}

// Nothing is left out that could be had once the rest of it is left out.
func TestNothingIsLeftOutForNothing(t *testing.T) {
	several := 0
	for _, seed := range []uint64{118, 158, 161, 187, 221, 222, 241, 245, 247} {
		r := drawScarceHome(seed)
		p, err := planner.Find(t.Context(), r.room, r.present, r.session, planner.Options{Prefer: plan.PreferFewest})
		if err != nil || p.Given || p.Stopped {
			t.Fatalf("home %d: %+v, %v", seed, p, err)
		}
		if len(p.Missing) > 1 {
			several++
		}
		for i, back := range p.Missing {
			rest := r.session
			for k, m := range p.Missing {
				if k != i {
					rest = sessionWithout(rest, m.Want)
				}
			}
			if none, _, err := planner.ByOwned(t.Context(), r.room, r.present, rest, 20e6); err != nil || !none {
				t.Errorf("home %d: of the %d that are left out, %s could be had, %v", seed, len(p.Missing), back.Want, err)
			}
		}
	}
	if several < 3 {
		t.Errorf("several are left out in %d homes, which proves too little", several)
	}
}

// So many as are said to be taken are no more than there are with those that would do.
func TestWhatIsTakenIsWhatWouldDo(t *testing.T) {
	for seed, want := range map[uint64]string{
		156: "together they take 2 cords of 70 cm, and there is 1; it would be possible with 1 more cord of 70 cm",
		201: "together they take 7 cords, and there are 6; it would be possible with 1 more cord",
	} {
		r := drawScarceHome(seed)
		p, err := planner.Find(t.Context(), r.room, r.present, r.session, planner.Options{Prefer: plan.PreferFewest})
		if err != nil || len(p.Missing) != 1 || !strings.Contains(p.Missing[0].Because, want) {
			t.Errorf("home %d: %+v, %v; it should say %q", seed, p.Missing, err, want)
		}
	}
}
