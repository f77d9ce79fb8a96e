package bound_test

import (
	"testing"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner/bound"
	"bayhand/model/planner/problem"
	"bayhand/simulators/rooms/houses"
)

// A draft by prices is a patch that the room can have, with the leads of the present one, and gives
// nearly all that is asked. With the ways that all sources have in a plan it gives what that plan gives.
func TestDraftsGiveNearlyAll(t *testing.T) {
	asked, given, before := 0, 0, 0
	for seed := range uint64(6) {
		s, session, present, answer := houses.Draw(houses.Project, seed+1).Read()
		room := heard.NewRoom(s)
		p, err := problem.New(room.For(session, present), present, session, problem.Options{Prefer: plan.PreferFewest})
		if err != nil {
			t.Fatal(err)
		}
		r := bound.Raise(t.Context(), p, nil, 100, 4*patient)
		d, ok := r.Draft(graph.Patch{}, nil, nil)
		if _, err := p.Numbered(p.Named(d)); !ok || err != nil {
			t.Fatalf("house %d: the draft cannot be: %v", seed+1, err)
		}
		r = bound.Raise(t.Context(), p, nil, 100, 4*patient)
		if again, _ := r.Draft(graph.Patch{}, nil, nil); len(graph.Without(again.Parts(), d.Parts())) > 0 {
			t.Errorf("house %d: the same again is another draft", seed+1)
		}
		asked, given, before = asked+len(session.Wants), given+heardOf(p, d), before+heardOf(p, p.Present)
		whole, err := p.Numbered(answer)
		if err != nil {
			t.Fatal(err)
		}
		if as, _ := r.Draft(whole, p.Wanted, nil); heardOf(p, as) != heardOf(p, whole) {
			t.Errorf("house %d: as in the answer %d of %d wants are heard", seed+1, heardOf(p, as), heardOf(p, whole))
		}
	}
	t.Logf("of %d wants %d are heard, and were %d", asked, given, before)
	if given*10 < asked*9 || given <= before {
		t.Errorf("of %d wants only %d are heard, and were %d", asked, given, before)
	}
}

// heardOf is how many wants a patch gives.
func heardOf(p *problem.Problem, d graph.Patch) int {
	state, count := p.State(d), 0
	for _, w := range p.Session.Wants {
		for _, s := range state.HeardAt(p.Number[w.Destination]) {
			if s == p.SourceOf[w.Source] {
				count++
			}
		}
	}
	return count
}
