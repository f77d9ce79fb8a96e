package keep_test

import (
	"slices"
	"testing"

	"bayhand/model/planner"
	"bayhand/model/session"
)

// Only outputs that change are sent: the one that both sessions have in common is
// not named, and once there the same session again sends nothing.
func TestOnlyChangesAreSent(t *testing.T) {
	onBench(t, func(b *bench) {
		s := wired()
		b.studio, b.files.Studio = s, s
		b.files.Sessions = map[string]*session.Session{
			"before": hears("before", [2]int{5, 5}, [2]int{6, 6}),
			"after":  hears("after", [2]int{5, 5}, [2]int{6, 5}),
		}
		config := b.config()
		config.Plan = planner.Make
		b.startWith(config)
		b.recall("before")
		grid := b.units["grid"]
		for _, want := range [][]string{{"open [out2=in2] close [out2=in1]"}, nil} {
			grid.forget()
			b.recall("after")
			if got := grid.lines(); !slices.Equal(got, want) {
				t.Errorf("sent %q, want %q", got, want)
			}
		}
		b.holds(cross(1, 1), cross(2, 1))
	})
}
