//go:build !race

package planner_test

import (
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner"
)

// What is said of rooms in which something is scarce: what is lacking in the fewest words,
// no more of it than is so, and what would do, or at least is needed.
func TestTightRoomsInWords(t *testing.T) {
	for seed, want := range map[uint64][]string{
		7300025: {"together they take more than there is: 2 inputs of grid, 1 tie between main and far, jacks far/t14-15; it would be possible with 1 more input of grid or 1 more tie between main and far"},
		7300037: {"together they take at least 10 cords, and there are 9; it would be possible with 2 more cords"},
		7300112: {"silence at hall/in7-8: together they take 4 cords or dummies, and there are 3; it would be possible with 1 more dummy or 1 more cord"},
		7300129: {"together they take 6 cords of 120 cm, and there are 5; "},
		7300145: {"together they take 11 cords, and there are 10; it would be possible with 1 more cord"},
		7300151: {"together they take 17 cords or dummies, and there are 16; at least 1 more cord or dummy is needed"},
		7300168: {"neither is possible together with stage/out1-2 -> hall/in1-2: together with either they take 3 outputs of grid, and there are 2 (grid/out1-2); both would be possible with 2 more ties between main and far"},
		8000045: {"5 outputs of grid and ties between main and far, and there are 4: 2 outputs of grid, 2 ties between main and far; at least 1 more of these is needed"},
	} {
		r := drawTight(t, seed)
		p, err := planner.Find(t.Context(), heard.NewRoom(r.studio), r.present, r.session, planner.Options{Prefer: plan.PreferFewest})
		if err != nil {
			t.Fatal(err)
		}
		said := plan.Merged(p.Missing)
		if len(said) != len(want) {
			t.Errorf("seed %d, %s: %d reasons, want %d: %+v", seed, r.shape, len(said), len(want), said)
			continue
		}
		for i, w := range want {
			if !strings.Contains(said[i].Because, w) {
				t.Errorf("seed %d, %s: %q, which does not say %q", seed, r.shape, said[i].Because, w)
			}
		}
	}
}
