package route

import (
	"testing"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
	"bayhand/simulators/rooms/houses"
)

// builderOf is a builder of a house, from the present patch.
func builderOf(t *testing.T, seed uint64) *builder {
	t.Helper()
	s, asked, present, _ := houses.Draw(houses.Home, seed).Read()
	p, err := problem.New(heard.NewRoom(s).For(asked, present), present, asked, problem.Options{Prefer: plan.PreferFewest})
	if err != nil {
		t.Fatal(err)
	}
	b := newBuilder(t.Context(), p)
	b.told, b.limit = func() {}, roundWork
	b.findIdle(false)
	return b
}

// Where there is no way, none is looked for until the draft has changed.
func TestNoWayIsLookedForOnce(t *testing.T) {
	count := 0
	for seed := range uint64(12) {
		b := builderOf(t, 40+seed)
		for w := range b.asWritten() {
			in, source := b.ends(w)
			clear(b.noWay)
			b.cleaner.cleanAll()
			if b.hearsAt(in, source) || b.route(source, in) || len(b.noWay) == 0 {
				continue
			}
			count++
			const untouched = -7 // each search works out what remains from all nodes
			if b.least[0] = untouched; b.route(source, in) || b.least[0] != untouched {
				t.Errorf("house %d, want %d: a way is looked for in a draft that is as it was", 40+seed, w)
			}
			if b.changes++; b.route(source, in) || b.least[0] == untouched {
				t.Errorf("house %d, want %d: none is looked for once the draft has changed", 40+seed, w)
			}
		}
	}
	if count < 5 {
		t.Errorf("%d wants have no way", count)
	}
}

// What is taken back from a way is not the same part each time.
func TestTakeBackTakesAnotherPart(t *testing.T) {
	count := 0
	for seed := range uint64(12) {
		b := builderOf(t, 40+seed)
		for w := range b.asWritten() {
			in, source := b.ends(w)
			if b.hearsAt(in, source) || !b.route(source, in) {
				continue
			}
			way := b.trial.State.WayFrom(b.Node[in], source)
			taken := map[graph.Part]bool{}
			var placed []graph.Part
			for _, s := range way {
				if b.placed[s.Part] && len(b.trial.WithGang(s.Part)) == 1 && b.oustedSoFar(s.Part) == 0 {
					placed = append(placed, s.Part)
				}
			}
			for range placed {
				before := b.trial.Patch().Parts()
				if !b.cleaner.takeBack(way) {
					t.Fatalf("house %d, want %d: nothing is taken back", 40+seed, w)
				}
				out := graph.Without(before, b.trial.Patch().Parts())
				b.trial.Change(nil, out)
				b.place(out)
				taken[out[0]] = true
			}
			if len(placed) > 1 {
				count++
			}
			if len(taken) < len(placed) {
				t.Errorf("house %d, want %d: of %v only %v were taken back", 40+seed, w, placed, taken)
			}
		}
	}
	if count < 5 {
		t.Errorf("%d ways have several parts", count)
	}
}

// Where nothing helps, a round ends soon after the least was wrong.
func TestRoundsInVainEnd(t *testing.T) {
	count := 0
	for seed := range uint64(12) {
		b := builderOf(t, 40+seed)
		clear(b.problem.Stock.Counts)
		order := b.asWritten()
		b.forced, b.limit = 1000, 1e9
		b.mend(order)
		if used := 1000 - b.forced; used > forcesInVain {
			if count++; used > 3*forcesInVain+len(order) {
				t.Errorf("house %d: much was taken from others %d times", 40+seed, used)
			}
		}
	}
	if count < 5 {
		t.Errorf("%d rounds are in vain", count)
	}
}
