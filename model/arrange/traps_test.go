package arrange

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bayhand/model/studio"
)

// one is a demand of one session in which one output is wanted by so many inputs.
func one(k int) *demand {
	d := &demand{outputs: 1, inputs: k, weights: []int64{1}, wants: [][][]int{{{}}}, silent: [][]bool{make([]bool, k)}, alien: never, isolated: never, halved: never}
	for i := range k {
		d.wants[0][0] = append(d.wants[0][0], i)
	}
	return d
}

// A source that is shared k ways takes 2 + 2k plugs from a single front jack, one cord into
// a mult and one to each; a joined pair has two front jacks and saves two plugs where it is
// shared two ways, and nothing beyond (common practice, no published source; by hand).
func TestSharedSource(t *testing.T) {
	for _, c := range []struct{ ways, isolated, parallel int64 }{{1, 2, 2}, {2, 6, 4}, {3, 8, 8}, {4, 10, 10}} {
		got := one(int(c.ways)).column(0, none)
		if got[studio.Isolated] != c.isolated || got[studio.Parallel] != c.parallel {
			t.Errorf("shared %d ways: isolated %d, parallel %d; by hand %d, %d", c.ways, got[studio.Isolated], got[studio.Parallel], c.isolated, c.parallel)
		}
	}
}

// The planner takes as many, with a mult at the end of the same bay.
func TestSharedSourceAsPlanned(t *testing.T) {
	q := asking(t, `studio: Shared
gear:
  player: {outputs: {out1: pro-line}}
  tapes: {inputs: {in1-3: pro-line}}
bays:
  main: {pairs: 8, modes: isolated}
wiring:
  - player/out1 -> main/t1
  - main/b2-4 -> tapes/in1-3
mults:
  - [main/t5, main/t6, main/t7, main/t8]
`, "  - player/out1 -> [tapes/in1, tapes/in2, tapes/in3]\n")
	plans, err := q.planAll(t.Context(), q.Studio, q.Sessions)
	if err != nil {
		t.Fatal(err)
	}
	if got, sum := plans[0].Plugs, one(3).column(0, none)[studio.Isolated]; got != 8 || sum != 8 {
		t.Errorf("the planner takes %d plugs, the column says %d; by hand 8", got, sum)
	}
}

// A half-normal is never worse than a normal, but for a dummy in each session in which its
// source goes elsewhere and its input has to be silent.
func TestHalfNormalIsNoWorse(t *testing.T) {
	random := rand.New(rand.NewPCG(41, 42))
	worse := 0
	for range 500 {
		d := tiny(random).demand
		for o := range d.outputs {
			for i := range d.inputs {
				c := d.column(o, i)
				if c[studio.HalfNormal] >= forbidden || c[studio.FullNormal] >= forbidden {
					continue
				}
				dummies := int64(0)
				for s, w := range d.weights {
					if d.silent[s][i] && len(d.wants[s][o]) > 0 {
						dummies += w
					}
				}
				if c[studio.HalfNormal] > c[studio.FullNormal]+dummies {
					t.Fatalf("half-normal takes %d plugs, normal %d, and there are %d dummies", c[studio.HalfNormal], c[studio.FullNormal], dummies)
				}
				if c[studio.HalfNormal] > c[studio.FullNormal] {
					worse++
				}
			}
		}
	}
	if worse < 20 {
		t.Errorf("only %d columns are worse", worse)
	}
}

// Two units that are each wanted behind the other have one normal between them at most,
// and the other column says why and what that costs.
func TestUnitsIntoEachOther(t *testing.T) {
	q := asking(t, `studio: Round
gear:
  squeeze: {channels: 1, line: pro-line}
  shaper: {channels: 1, line: pro-line}
bays:
  main: {pairs: 4, modes: isolated}
`, "  - squeeze/out1 -> shaper/in1\n")
	other := *q.Sessions[0].Session
	other.Name, other.Wants = "two", clone(other.Wants)
	w := &other.Wants[0]
	w.Source.Owner, w.Destination.Owner = w.Destination.Owner, w.Source.Owner
	q.Sessions = append(q.Sessions, Weighted{&other, 1})
	a, err := Propose(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	// The cord of the session without a normal takes 2 plugs, and a dummy keeps the normal of
	// the other one from leading its signal round.
	if faults := judge(t, q, claimOf(a)); faults != nil || a.Plugs.Proposed != 3 {
		t.Errorf("%d plugs, and 3 by hand: %v", a.Plugs.Proposed, faults)
	}
	round := func(c Column) bool { return strings.Contains(c.Because, "would let a signal go round") }
	if !slices.ContainsFunc(a.Columns, round) {
		t.Errorf("nothing is said of the normal that is not there: %+v", a.Columns)
	}
}

// Each answer says what its layout is worth for sessions that it does not know, or that one
// session says nothing of others.
func TestLeftOutInEveryAnswer(t *testing.T) {
	random := rand.New(rand.NewPCG(51, 52))
	for sessions := 1; sessions <= 3; sessions++ {
		q := newRoomOf(t, random, 12, sessions)
		q.Effort = 1
		a, err := Propose(t.Context(), q)
		if err != nil {
			t.Fatal(err)
		}
		if sessions == 1 && a.Plugs.LeftOut != notGiven || sessions > 1 && a.Plugs.LeftOut < a.Plugs.Proposed {
			t.Errorf("%d sessions: %+v", sessions, a.Plugs)
		}
	}
}
