package exact

import (
	"slices"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/simulators/rooms/houses"
)

// work is more than a home needs.
const work = 400e6

// homes are the first houses of homes, each with its best plan.
func homes(t *testing.T, count int, f func(seed int, p *problem.Problem, best *objective.Candidate)) {
	t.Helper()
	for seed := 1; seed <= count; seed++ {
		s, asked, present, _ := houses.Draw(houses.Home, uint64(seed)).Read()
		p, err := problem.New(heard.NewRoom(s).For(asked, present), present, asked, problem.Options{Prefer: plan.PreferFewest})
		if err != nil {
			t.Fatal(err)
		}
		found := Find(t.Context(), p, nil, nil, 0, work)
		if found.Best == nil || found.Best.Score.Plugs != found.Least {
			t.Fatalf("home %d is not proved", seed)
		}
		f(seed, p, found.Best)
	}
}

// leastOf is the least total of plugs that the clauses allow.
func leastOf(t *testing.T, e *encoding) int {
	t.Helper()
	o := newOptimum(e.Solver, e.Work+work)
	o.addAll(e.plugCosts(false).found, handled)
	if r := o.solve(); r != clause.Yes {
		t.Fatalf("the clauses have no answer: %v", r)
	}
	return o.least[handled]
}

// A window of the whole room is the whole room: the least that its clauses allow is that
// of the clauses without a window.
func TestWindowOfEverything(t *testing.T) {
	homes(t, 1, func(seed int, p *problem.Problem, best *objective.Candidate) {
		w := newWindow(p, best.Patch)
		for j := range w.jacks {
			w.freeJack(j)
		}
		for o := range w.outputs {
			w.freeOutput(o)
		}
		for port := range w.ports {
			w.freePort(port)
		}
		w.close()
		all, inside := leastOf(t, newEncoding(p, scope{}, p.Present)), leastOf(t, newEncoding(p, scope{window: w}, p.Present))
		if all != inside || all > best.Score.Plugs {
			t.Errorf("home %d: at least %d plugs, in a window of everything %d, and there is a plan of %d", seed, all, inside, best.Score.Plugs)
		}
	})
}

// What is outside a window stays as it is, and the patch itself is an answer.
func TestOutsideOfWindowStays(t *testing.T) {
	looked := 0
	homes(t, 2, func(seed int, p *problem.Problem, best *objective.Candidate) {
		for _, part := range graph.Without(best.Patch.Parts(), p.Present.Parts()) {
			if part.Kind == graph.Cross {
				continue
			}
			w := around(p, best.Patch, part.Jacks(), 8)
			e := newEncoding(p, scope{window: w}, p.Present)
			if least := leastOf(t, e); least > best.Score.Plugs {
				t.Fatalf("home %d, window around %v: at least %d plugs, and the plan has %d", seed, part, least, best.Score.Plugs)
			}
			in := newWindow(p, e.decode())
			for j := range w.jacks {
				if !w.jacks[j] && in.at[j] != w.at[j] {
					t.Fatalf("home %d, window around %v: jack %d held %v and holds %v", seed, part, j, w.at[j], in.at[j])
				}
			}
			for o, free := range w.outputs {
				if !free && !slices.Equal(in.state.Behind(o), w.state.Behind(o)) {
					t.Fatalf("home %d, window around %v: output %d was switched", seed, part, o)
				}
			}
			looked++
		}
	})
	if looked < 5 {
		t.Errorf("only %d windows were looked at", looked)
	}
}

// What a draft lacks is found again, whatever was taken out of a plan.
func TestRepair(t *testing.T) {
	repaired := 0
	homes(t, 2, func(seed int, p *problem.Problem, best *objective.Candidate) {
		for _, part := range best.Patch.Parts() {
			lacking := best.Patch.Clone()
			lacking.Cords = slices.DeleteFunc(lacking.Cords, func(c [2]int) bool { return part == graph.Part{Kind: graph.Cord, A: c[0], B: c[1]} })
			lacking.Crosses = slices.DeleteFunc(lacking.Crosses, func(x int) bool { return part == graph.Part{Kind: graph.Cross, A: x} && len(p.Ganged[x]) == 0 })
			if len(lacking.Parts()) == len(best.Patch.Parts()) {
				continue
			}
			f := Repair(t.Context(), p, lacking, work)
			if f == nil || !p.Gives(f.Patch) {
				t.Fatalf("home %d without %v: no plan was found again", seed, part)
			}
			repaired++
		}
	})
	if repaired < 20 {
		t.Errorf("only %d drafts were repaired", repaired)
	}
}

// Without work there is no plan, and none is claimed.
func TestRepairWithoutWork(t *testing.T) {
	homes(t, 1, func(_ int, p *problem.Problem, _ *objective.Candidate) {
		if f := Repair(t.Context(), p, graph.Patch{}, 0); f != nil {
			t.Errorf("a plan of %d plugs was found without work", f.Score.Plugs)
		}
	})
}

// Windows make the answer that a house was drawn from, which handles more plugs than need
// be, a better plan, and never a worse one.
func TestImproveIsNeverWorse(t *testing.T) {
	better := 0
	for seed := uint64(4); seed <= 6; seed++ {
		p, known := drawnAnswer(t, seed)
		f := Improve(t.Context(), p, known, nil, 0, work)
		if !p.Gives(f.Patch) || known.Score.Less(f.Score) {
			t.Errorf("home %d: %+v became %+v", seed, known.Score, f.Score)
		}
		if f.Score.Plugs < known.Score.Plugs {
			better++
		}
	}
	if better < 2 {
		t.Errorf("of three plans only %d became better", better)
	}
}

// An answer of a window says of each source that it reckons with where it is heard, as the nets of
// the decoded patch do, whether the window could change what amplifiers carry there or not.
func TestWindowSaysWhatIsHeard(t *testing.T) {
	heard, outside := 0, 0
	homes(t, 3, func(seed int, p *problem.Problem, best *objective.Candidate) {
		for _, part := range graph.Without(best.Patch.Parts(), p.Present.Parts()) {
			if part.Kind == graph.Cross {
				continue
			}
			w := around(p, best.Patch, part.Jacks(), 8)
			e := newEncoding(p, scope{window: w}, p.Present)
			leastOf(t, e)
			is := p.State(e.decode())
			for n := range p.Nodes {
				for _, s := range e.wanted {
					_, found := slices.BinarySearch(is.HeardOn(is.NetOf(n)), s)
					said := e.hear(n, s) == clause.True || e.hear(n, s) != clause.False && e.Value(e.hear(n, s))
					if found != said {
						t.Fatalf("home %d, window around %v: source %d at node %d is heard: %v, and the answer says %v", seed, part, s, n, found, said)
					}
					switch {
					case found && w.hears(n):
						heard++
					case found:
						outside++
					}
				}
			}
		}
	})
	if heard < 20 || outside < 20 {
		t.Errorf("only %d sources were heard within windows, and %d outside", heard, outside)
	}
}

// What a window that was searched to its end could have undone is not looked at again; what lies
// only partly in it is.
func TestLookedWithin(t *testing.T) {
	homes(t, 1, func(_ int, p *problem.Problem, best *objective.Candidate) {
		m := improver{problem: p, best: best, looked: map[graph.Part]bool{}}
		changes, within, beyond := m.changes(), 0, 0
		var cord graph.Part
		for _, c := range changes {
			if c.Kind == graph.Cord && c.B != graph.None {
				cord = c
			}
		}
		w := newWindow(p, best.Patch)
		for _, j := range cord.Jacks() {
			w.freeJack(j)
		}
		m.lookedWithin(w, changes)
		for _, c := range changes {
			if c.Kind == graph.Cross {
				continue
			}
			free := !slices.ContainsFunc(c.Jacks(), func(j int) bool { return !w.jacks[j] })
			if m.looked[c] != free {
				t.Errorf("%v is looked at: %v, and all of it is free: %v", c, m.looked[c], free)
			}
			if free {
				within++
			} else {
				beyond++
			}
		}
		if within == 0 || beyond == 0 {
			t.Errorf("%d changes are within, and %d beyond", within, beyond)
		}
	})
}

// An output that alone may be switched may listen to what it listens to.
func TestWindowOfAnOutput(t *testing.T) {
	switched := 0
	homes(t, 3, func(seed int, p *problem.Problem, best *objective.Candidate) {
		for o := range p.Outputs {
			w := newWindow(p, best.Patch)
			if len(w.state.Behind(o)) == 0 {
				continue
			}
			w.freeOutput(o)
			w.close()
			if least := leastOf(t, newEncoding(p, scope{window: w}, p.Present)); least != best.Score.Plugs {
				t.Errorf("home %d, output %d: at least %d plugs where none goes in or out, and the plan has %d", seed, o, least, best.Score.Plugs)
			}
			switched++
		}
	})
	if switched < 5 {
		t.Errorf("only %d outputs were switched", switched)
	}
}
