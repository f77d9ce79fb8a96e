//go:build !race

package exact

import (
	"testing"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/route"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/simulators/rooms/houses"
	"bayhand/simulators/rooms/tight"
)

// Where a plan is proved to handle the fewest plugs, the search for a tidier one takes little
// beside the proof. Half of what a room gives is taken away: nearly all that is left to do is
// pulling, and what stays could be in the bay in many ways that are as good. These rooms took
// 72 and 141 million looks while it was proved how tidy a plan can be.
func TestTidyingTakesLittle(t *testing.T) {
	for _, seed := range []uint64{8, 7} {
		s, asked, _, answer := houses.Draw(houses.Home, seed).Read()
		half := *asked
		half.Wants = nil
		for i := 0; i < len(asked.Wants); i += 2 {
			half.Wants = append(half.Wants, asked.Wants[i])
		}
		found := findFrom(t, heard.NewRoom(s), answer, &half, plan.PreferFewest)
		if found.Best == nil || found.Best.Score.Plugs != found.Least {
			t.Fatalf("home %d is not proved: %+v", seed, found)
		}
		if found.Work > 30e6 {
			t.Errorf("home %d took %d looks", seed, found.Work)
		}
	}
}

// Where little is asked for and much is in, what is pulled is counted and not searched for.
// These rooms took from 26 to 384 million looks, and not all were proved, while an old cord that
// goes cost nothing where it might have become a new one: that no two become the same one
// is the pigeonhole principle, which clauses learn badly.
func TestPullingTakesLittle(t *testing.T) {
	for _, c := range []struct {
		seed uint64
		by   plan.Prefer
	}{{4, plan.PreferPlain}, {13, plan.PreferFewest}, {14, plan.PreferPlain}, {16, plan.PreferPlain}, {22, plan.PreferFewest}} {
		s, asked, _, answer := houses.Draw(houses.Home, c.seed).Read()
		few := *asked
		few.Wants = nil
		for i := 0; i < len(asked.Wants); i += 5 {
			few.Wants = append(few.Wants, asked.Wants[i])
		}
		found := findFrom(t, heard.NewRoom(s), answer, &few, c.by)
		if found.Best == nil || found.Best.Score.Plugs != found.Least || found.Stopped {
			t.Fatalf("home %d is not proved: %+v", c.seed, found)
		}
		if found.Work > 10e6 {
			t.Errorf("home %d took %d looks", c.seed, found.Work)
		}
	}
}

// Outputs of a matrix that do each other's work could be switched in as many ways as there
// are orders of them: that none can be left out is counted source by source. These rooms
// took a hundred million looks while a change was one cost whatever it brought.
func TestOutputsThatDoEachOthersWork(t *testing.T) {
	for _, seed := range []uint64{7000017, 7000658, 7000946} {
		r := tight.Draw(seed)
		s, _, problems := text.ReadStudio("studio.yaml", r.Studio)
		if problems.Errors() {
			t.Fatal(problems)
		}
		asked, _, problems := text.ReadSession("session.yaml", r.Session, s, nil)
		if problems.Errors() {
			t.Fatal(problems)
		}
		found := findFrom(t, heard.NewRoom(s), patch.Patch{}, asked, plan.PreferFewest)
		if found.Best == nil || found.Best.Score.Plugs != found.Least || found.Stopped {
			t.Fatalf("%s is not proved: %+v", r.Shape, found)
		}
		if found.Work > 20e6 {
			t.Errorf("%s took %d looks", r.Shape, found.Work)
		}
	}
}

// findFrom finds the best plan as the planner does, with one that is built first.
func findFrom(t *testing.T, room *heard.Room, present patch.Patch, asked *session.Session, by plan.Prefer) Outcome {
	t.Helper()
	p, err := problem.New(room.For(asked, present), present, asked, problem.Options{Prefer: by})
	if err != nil {
		t.Fatal(err)
	}
	known, _ := route.Build(t.Context(), p, 0, route.Others{})
	return Find(t.Context(), p, nil, known, 0, p.Options.Work())
}
