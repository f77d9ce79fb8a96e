package rooms_test

import (
	"context"
	"slices"
	"testing"

	"bayhand/model/capture"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/simulators/contacts"
	"bayhand/simulators/rooms"
)

// A session that was captured from a patch can be given, so there is a plan for
// it; and what the plan ends in is heard in the metal.
func TestWhatAPlanGivesIsHeard(t *testing.T) {
	planned := 0
	for seed := range uint64(500) {
		room := rooms.Draw(seed)
		model := heard.NewRoom(room.Studio)
		state := model.Hear(room.Patch)
		if len(state.Contentions()) > 0 || len(state.Loops(nil, nil)) > 0 || twoInputs(room.Patch) {
			continue
		}
		s := capture.Session(model, room.Patch, "captured")
		s.Patch = nil // so that a way must be found
		prefer := plan.PreferPlain
		if seed%2 == 0 {
			prefer = plan.PreferFewest
		}
		p, err := planner.Target(context.Background(), plan.Request{Studio: room.Studio, From: room.Studio.Rest, Session: s, Prefer: prefer})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if !p.Given {
			t.Errorf("seed %d: no plan, though the patch it was captured from gives it: %+v\nwants %v silent %v", seed, p.Missing, s.Wants, s.Silent)
			continue
		}
		planned++
		target := rooms.Room{Studio: room.Studio, Patch: patch.Patch(p.Target)}
		atRest := measure(t, rooms.Room{Studio: room.Studio, Patch: room.Studio.Rest})
		if !gives(t, measure(t, target), atRest, s) {
			t.Fatalf("seed %d: the plan does not give the session in the metal", seed)
		}
	}
	t.Logf("%d plans", planned)
	if planned == 0 {
		t.Error("no plan was tried")
	}
}

func measure(t *testing.T, room rooms.Room) *contacts.Readings {
	t.Helper()
	panel, err := contacts.Build(room.Studio, room.Patch)
	if err != nil {
		t.Fatalf("%s: %v", room.Studio.Name, err)
	}
	metal, err := panel.Measure()
	if err != nil {
		t.Fatalf("%s: %v", room.Studio.Name, err)
	}
	return metal
}

// twoInputs says whether a relay output is closed to two inputs: it can be read
// back, and no plan asks for it.
func twoInputs(p patch.Patch) bool {
	return slices.ContainsFunc(p.Crosspoints, func(c patch.Crosspoint) bool { return len(p.Inputs(c.Output)) > 1 })
}

func gives(t *testing.T, metal, atRest *contacts.Readings, s *session.Session) bool {
	t.Helper()
	ok := len(metal.Fights()) == 0 && !metal.Howls(nil)
	if !ok {
		t.Errorf("outputs fight: %v, or a signal goes round: %v", metal.Fights(), metal.Howls(nil))
	}
	expect := func(in name.Point, want ...name.Point) {
		if got := metal.Hears(in); !slices.Equal(got, want) {
			t.Errorf("at %s arrives %v; the session asks for %v", in, got, want)
			ok = false
		}
	}
	named := map[name.Point]bool{}
	for _, w := range s.Wants {
		named[w.Destination] = true
		expect(w.Destination, w.Source)
	}
	for _, p := range s.Silent {
		named[p] = true
		expect(p)
	}
	for _, in := range metal.Inputs() {
		for _, source := range metal.Hears(in) {
			if !named[in] && !slices.Contains(atRest.Hears(in), source) {
				t.Errorf("at %s arrives %s, which neither the session nor the rest patch puts there", in, source)
				ok = false
			}
		}
	}
	return ok
}
