package graph_test

import (
	"testing"

	"bayhand/model/graph"
)

// The normals that the plugs of a patch break are those that do not hold in it.
func TestCountBroken(t *testing.T) {
	broken := 0
	for seed := range uint64(60) {
		b := newBench(t, seed)
		for range 10 {
			b.change()
			want := 0
			for m := range b.graph.Normals {
				if !b.state.Holds(m) {
					want++
				}
			}
			if got := asPatch(b.parts).CountBroken(b.graph); got != want {
				t.Fatalf("seed %d: %d of %v are broken, want %d", seed, got, b.parts, want)
			}
			broken += want
		}
	}
	if broken < 100 {
		t.Errorf("only %d normals were broken", broken)
	}
}

func asPatch(parts []graph.Part) graph.Patch {
	var d graph.Patch
	for _, p := range parts {
		switch p.Kind {
		case graph.Cord:
			d.Cords = append(d.Cords, [2]int{p.A, p.B})
		case graph.Lead:
			d.Leads = append(d.Leads, [2]int{p.A, p.B})
		case graph.Dummy:
			d.Dummies = append(d.Dummies, p.A)
		case graph.Cross:
			d.Crosses = append(d.Crosses, p.A)
		case graph.HeldNormal:
		}
	}
	return d
}
