package order_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner"
)

// bare finds the name of gear or of a matrix that no port follows.
var bare = regexp.MustCompile(`(^|[^a-z0-9/-])(gear|grid)[0-9]+($|[^a-z0-9/-])`)

// A reason is read at the bay: it calls gear and matrices by their labels, or
// names a port, which is worded where it is printed.
func TestReasonsCallGearByItsLabel(t *testing.T) {
	seen := tally{}
	for seed := range count(t, 300) {
		made, from := draw(seed)
		made.Studio.Rest = made.Patch
		for i := range made.Studio.Gear {
			made.Studio.Gear[i].Label = fmt.Sprintf("unit %d of the rack", i)
		}
		for i := range made.Studio.Matrices {
			made.Studio.Matrices[i].Label = fmt.Sprintf("router %d", i)
		}
		w := way{room: heard.NewRoom(made.Studio), from: from, previous: made.Inside}
		var err error
		if w.plan, err = planner.Target(t.Context(), plan.Request{Studio: made.Studio, From: from}); err != nil {
			t.Fatal(err)
		}
		w.moves = w.plan.Moves
		w.arrange(t, seed)
		for _, s := range w.plan.Steps {
			if bare.MatchString(s.Because) {
				t.Errorf("seed %d: %s: %q", seed, show(s), s.Because)
			}
			for _, kind := range []string{"prevents a click from", "would be heard from unit", "switching out of", "unit", "would short"} {
				if strings.Contains(s.Because, kind) {
					seen[kind]++
				}
			}
		}
	}
	seen.report(t, "prevents a click from", "would be heard from unit", "unit", "would short")
}
