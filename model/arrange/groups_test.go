package arrange

import (
	"math/rand/v2"
	"testing"

	"bayhand/model/studio"
)

// What an exchange changes is looked at where it changes something: in a bay whose modes
// are set by groups, and over several bays, the same comes out as when all columns are
// added up.
func TestExchangesAddUp(t *testing.T) {
	q := heron(t)
	q.Studio.Bays[0].SetModes = 8
	r := newRoom(&q)
	p := r.problem(&q, 1000)
	random := rand.New(rand.NewPCG(1, 2))
	d := drafting{r, p, p.match(), q.price()}
	c := d.laid(d.filed())
	if !r.grouped || !r.zoned {
		t.Fatal("the room has no groups, or no zones")
	}
	c.move = 3
	changes := 0
	for range 2000 {
		before := c.score()
		change, _ := c.drawnExchange(random)
		if c.score()-before != change {
			t.Fatalf("the objective changes by %d, and %d was expected", c.score()-before, change)
		}
		if change != 0 {
			changes++
		}
	}
	if changes < 500 {
		t.Errorf("only %d exchanges change anything", changes)
	}
}

// A bay whose modes are set eight pairs at a time is laid out with one mode in each group.
func TestGroupsHaveOneMode(t *testing.T) {
	q := heron(t)
	q.Effort = 1
	q.Studio.Bays[0].SetModes = 8
	l, err := Lay(q)
	if err != nil {
		t.Fatal(err)
	}
	modes := map[int]studio.Mode{}
	for n, g := range l.columns.room.groups {
		if g == none {
			continue
		}
		mode := l.columns.mode(n)
		if other, has := modes[g]; has && other != mode {
			t.Errorf("group %d has both %s and %s", g, mode, other)
		}
		modes[g] = mode
	}
	if len(modes) < 3 {
		t.Errorf("only %d groups", len(modes))
	}
}
