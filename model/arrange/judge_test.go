package arrange

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// claim is what an answer says, as whoever judges it sees it.
type claim struct {
	columns  []Column
	proposed int
	least    float64
}

func claimOf(a *Answer) claim {
	return claim{slices.Clone(a.Columns), a.Plugs.Proposed, a.Plugs.Least}
}

// judge says what is wrong with an answer, from the request and the columns alone. It
// wires the room anew from them, has the planner count, closes the relation of what
// leads to what, and shares nothing with the search.
func judge(t *testing.T, q Request, c claim) (faults []string) {
	t.Helper()
	ports := map[name.Point]studio.Port{}
	for _, g := range q.Studio.Gear {
		for _, p := range g.Ports {
			ports[p.Point] = p
		}
	}
	made := wiredAs(q.Studio, c.columns)
	leads := map[[2]name.Point]bool{}
	for _, col := range c.columns {
		top, bottom := ports[col.Top], ports[col.Bottom]
		if !col.Top.IsZero() && !col.Bottom.IsZero() && top.Line.Kind != bottom.Line.Kind {
			faults = append(faults, fmt.Sprintf("%s and %s are of different kinds in one column", col.Top, col.Bottom))
		}
		if strings.Contains(col.Mode, "normal") && !col.Top.IsZero() && !col.Bottom.IsZero() {
			leads[[2]name.Point{col.Top, col.Bottom}] = true
		}
	}
	for _, g := range q.Studio.Gear {
		for _, p := range g.Passes {
			leads[[2]name.Point{p.In, p.Out}] = true
		}
	}
	if goesRound(leads) {
		faults = append(faults, "the normals make a cycle")
	}
	plans, err := q.planAll(context.Background(), made, q.Sessions)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0
	for n, p := range plans {
		sum += q.Sessions[n].Weight * p.Plugs
	}
	if sum != c.proposed {
		faults = append(faults, fmt.Sprintf("the planner takes %d plugs, not %d", sum, c.proposed))
	}
	if c.least > float64(sum) {
		faults = append(faults, fmt.Sprintf("%g are said to be the least, and %d are enough", c.least, sum))
	}
	return faults
}

// wiredAs is the studio wired as the columns say.
func wiredAs(s *studio.Studio, columns []Column) *studio.Studio {
	made := *s
	made.Wires, made.Bays = nil, slices.Clone(s.Bays)
	for n := range made.Bays {
		b := &made.Bays[n]
		b.Modes = slices.Clone(b.Modes)
		for _, c := range columns {
			if c.Bay != b.Name {
				continue
			}
			for _, m := range []studio.Mode{studio.Isolated, studio.HalfNormal, studio.FullNormal, studio.Parallel} {
				if m.String() == c.Mode {
					b.Modes[c.Pair-1] = m
				}
			}
			if !c.Top.IsZero() {
				made.Wires = append(made.Wires, studio.Wire{From: c.Top, To: b.TopJack(c.Pair)})
			}
			if !c.Bottom.IsZero() {
				made.Wires = append(made.Wires, studio.Wire{From: b.BottomJack(c.Pair), To: c.Bottom})
			}
		}
	}
	return &made
}

// goesRound closes a relation and looks for what leads to itself.
func goesRound(leads map[[2]name.Point]bool) bool {
	for grown := true; grown; {
		grown = false
		for a := range leads {
			for b := range leads {
				if both := [2]name.Point{a[0], b[1]}; a[1] == b[0] && !leads[both] {
					leads[both], grown = true, true
				}
			}
		}
	}
	for pair := range leads {
		if pair[0] == pair[1] {
			return true
		}
	}
	return false
}

// The judge takes an answer, and refuses it with one thing made worse.
func TestMutantsAreRefused(t *testing.T) {
	q := newRoomOf(t, rand.New(rand.NewPCG(31, 32)), 12, 2)
	a, err := Propose(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	if faults := judge(t, q, claimOf(a)); faults != nil {
		t.Fatalf("the answer itself is refused: %v", faults)
	}
	asked := slices.IndexFunc(a.Columns, func(c Column) bool { return strings.Contains(c.Because, "asked for in") })
	unit := slices.IndexFunc(a.Columns, func(c Column) bool { return strings.HasPrefix(c.Bottom.Owner, "unit") })
	out := slices.IndexFunc(a.Columns, func(c Column) bool { return c.Top.Owner == a.Columns[unit].Bottom.Owner })
	mutants := map[string]func(c *claim){
		"the planner takes": func(c *claim) { c.columns[asked].Mode = studio.Isolated.String() },
		"make a cycle": func(c *claim) {
			c.columns[out].Bottom, c.columns[unit].Bottom = c.columns[unit].Bottom, c.columns[out].Bottom
			c.columns[out].Mode = studio.HalfNormal.String()
		},
		"are said to be the least": func(c *claim) { c.least = float64(c.proposed) + 0.5 },
	}
	for wanted, mutate := range mutants {
		c := claimOf(a)
		mutate(&c)
		if faults := strings.Join(judge(t, q, c), "; "); !strings.Contains(faults, wanted) {
			t.Errorf("a mutant passes that %q should refuse: %s", wanted, faults)
		}
	}
	microphone := q
	other := *q.Studio
	microphone.Studio = &other
	other.Gear = slices.Clone(q.Studio.Gear)
	for n := range other.Gear {
		g := &other.Gear[n]
		g.Ports = slices.Clone(g.Ports)
		for k := range g.Ports {
			if g.Ports[k].Point == a.Columns[asked].Top {
				g.Ports[k].Line.Kind = studio.MicLevel
			}
		}
	}
	if faults := strings.Join(judge(t, microphone, claimOf(a)), "; "); !strings.Contains(faults, "different kinds in one column") {
		t.Errorf("a microphone over a line passes: %s", faults)
	}
}
