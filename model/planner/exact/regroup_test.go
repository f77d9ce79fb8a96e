package exact

import (
	"slices"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner/bound"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/simulators/rooms/houses"
)

// drawnAnswer is the problem of a home and the answer that it was drawn from.
func drawnAnswer(t *testing.T, seed uint64) (*problem.Problem, *objective.Candidate) {
	t.Helper()
	s, asked, present, answer := houses.Draw(houses.Home, seed).Read()
	p, err := problem.New(heard.NewRoom(s).For(asked, present), present, asked, problem.Options{Prefer: plan.PreferFewest})
	if err != nil {
		t.Fatal(err)
	}
	d, err := p.Numbered(answer)
	if err != nil {
		t.Fatal(err)
	}
	known, ok := objective.Of(p, d)
	if !ok {
		t.Fatalf("home %d: the answer asks for more cords than are owned", seed)
	}
	return p, known
}

// The answers that houses were drawn from become the best plans, as the search of the whole room
// finds them, in nearly all homes; and none becomes worse.
func TestRegroupFindsTheBest(t *testing.T) {
	better, best := 0, 0
	homes(t, 12, func(seed int, p *problem.Problem, proved *objective.Candidate) {
		_, known := drawnAnswer(t, uint64(seed))
		r := bound.Raise(t.Context(), p, nil, known.Score.Plugs, 1e6)
		least, margins := r.Least, r.Margins
		f := Regroup(t.Context(), p, known, margins.Near(), least, work)
		switch {
		case !p.Gives(f.Patch) || known.Score.Less(f.Score) || f.Score.Plugs < proved.Score.Plugs:
			t.Errorf("home %d: %+v became %+v, and the best is %+v", seed, known.Score, f.Score, proved.Score)
		case f.Score.Plugs == proved.Score.Plugs:
			best++
		}
		if f.Score.Plugs < known.Score.Plugs {
			better++
		}
	})
	if better < 8 || best < 11 {
		t.Errorf("of twelve plans only %d became better, and %d the best", better, best)
	}
}

// A window of a group leaves what other sources have, and frees what those of the group have.
func TestWindowOfAGroup(t *testing.T) {
	p, known := drawnAnswer(t, 4)
	margins := bound.Raise(t.Context(), p, nil, known.Score.Plugs, 1e6).Margins
	r := regrouper{improver{problem: p, best: known}, margins.Near(), make([]bool, len(p.Jacks)), nil}
	state := p.State(known.Patch)
	freed := 0
	for _, s := range p.Wanted {
		w, in := r.windowOf(state, []int{s})
		for j := range p.Jacks {
			heard := state.HeardOn(state.NetOf(p.Jacks[j].Node))
			own := slices.Contains(heard, s)
			if w.jacks[j] && len(heard) > 0 && !own && w.at[j].Kind != graph.Cord {
				t.Errorf("source %d: jack %d is free, where %v are heard", s, j, heard)
			}
			if own && p.Usable(j) && w.at[j].Kind != 0 && !w.jacks[j] {
				t.Errorf("source %d: jack %d is not free", s, j)
			}
			if own && w.jacks[j] {
				freed++
			}
		}
		for ends, sources := range in.Cords {
			if sources != nil && !slices.Equal(sources, []int{s}) {
				t.Errorf("source %d: the cord %v is for %v", s, ends, sources)
			}
		}
	}
	if freed == 0 {
		t.Error("nothing was free")
	}
}
