package route

import (
	"slices"
	"testing"

	"bayhand/model/graph"
)

// A source that comes where it must not is a matter of its own wants, though all of them are
// heard and nobody asks for anything where it comes.
func TestWantsOfWhatGoesAstray(t *testing.T) {
	count := 0
	for seed := range uint64(12) {
		b := builderOf(t, 40+seed)
		order := b.asWritten()
		if b.forced = forces; len(b.mend(order)) > 0 {
			continue
		}
		heardByAll := func() bool {
			return !slices.ContainsFunc(order, func(w int) bool { in, s := b.ends(w); return !b.hearsAt(in, s) })
		}
		for i := range b.Jacks {
			for j := range i {
				if b.trial.Plugs[i].Kind != 0 || b.trial.Plugs[j].Kind != 0 || b.Jacks[i].Node == b.Jacks[j].Node {
					continue
				}
				cord := []graph.Part{{Kind: graph.Cord, A: j, B: i}}
				b.trial.Change(nil, cord)
				if astray := b.astray(); len(astray) > 0 && heardByAll() {
					count++
					for _, w := range order {
						if _, s := b.ends(w); astray[s] && !slices.Contains(b.unmet(order, astray), w) {
							t.Fatalf("house %d: a cord %v brings what want %d asks for astray, and the want counts as met", 40+seed, cord, w)
						}
					}
				}
				b.trial.Change(cord, nil)
			}
		}
	}
	if count < 20 {
		t.Errorf("%d cords bring something astray", count)
	}
}

// From a bare bay Mend builds what Build does.
func TestMendBuilds(t *testing.T) {
	built := 0
	for seed := range uint64(12) {
		b := builderOf(t, 40+seed)
		if f := Mend(t.Context(), b.problem, graph.Patch{}, nil); f != nil {
			built++
			if !b.problem.Gives(f.Patch) {
				t.Errorf("house %d: %v does not give the session", 40+seed, f.Patch)
			}
		}
	}
	if built < 10 {
		t.Errorf("%d houses of 12 are built", built)
	}
}
