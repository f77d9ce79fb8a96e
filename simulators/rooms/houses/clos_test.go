package houses_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/text"
	"bayhand/simulators/contacts"
	"bayhand/simulators/rooms/houses"
)

// In the metal of three stages, what Route and Spread say arrives.
func TestThreeStagesInTheMetal(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, c := range []houses.Clos{
		{N: 2, M: 2, R: 2}, {N: 3, M: 3, R: 2, Contacts: true}, {N: 2, M: 2, R: 4}, {N: 3, M: 3, R: 3, Contacts: true}, {N: 2, M: 3, R: 3},
	} {
		arrives(t, c, func() ([]int, patch.Patch) {
			source := r.Perm(c.Width())
			return source, c.Route(source)
		})
		arrives(t, c, func() ([]int, patch.Patch) { return c.Spread(r.Uint64()) })
	}
}

func arrives(t *testing.T, c houses.Clos, drawn func() ([]int, patch.Patch)) {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", c.Studio())
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for range 3 {
		source, p := drawn()
		panel, err := contacts.Build(s, p)
		if err != nil {
			t.Fatal(err)
		}
		metal, err := panel.Measure()
		if err != nil {
			t.Fatal(err)
		}
		if len(metal.Fights()) > 0 {
			t.Errorf("%+v: outputs fight: %v", c, metal.Fights())
		}
		for to, from := range source {
			var want []name.Point
			if from >= 0 {
				want = []name.Point{c.Source(from)}
			}
			if got := metal.Hears(c.Destination(to)); !slices.Equal(got, want) {
				t.Errorf("%+v: at destination %d arrives %v, not source %d", c, to, got, from)
			}
		}
	}
}
