package layout_test

import (
	"testing"

	"bayhand/model/layout"
	"bayhand/model/studio"
)

// Walls are between parts of rooms that do not stand together, and nowhere else.
func TestWalls(t *testing.T) {
	w := layout.NewWalls(&studio.Studio{
		Rooms: []studio.Room{
			{Name: "live", Parts: []string{"far", "stage"}}, {Name: "mix", Parts: []string{"main"}},
			{Name: "edit", Parts: []string{"desk"}}, {Name: "store", Parts: []string{"rack"}},
		},
		Together: [][]string{{"mix", "edit"}},
	})
	for _, c := range []struct {
		a, b string
		wall bool
	}{
		{"far", "stage", false}, {"far", "main", true}, {"main", "far", true}, {"main", "desk", false},
		{"desk", "far", true}, {"rack", "main", true}, {"far", "hall", false}, {"hall", "hall", false},
	} {
		if w.Between(c.a, c.b) != c.wall {
			t.Errorf("%s and %s: a wall %v, want %v", c.a, c.b, !c.wall, c.wall)
		}
	}
	if w.Place("hall") != 0 || w.Place("far") == 0 {
		t.Errorf("the hall is at place %d, the far bay at %d", w.Place("hall"), w.Place("far"))
	}
}
