package objective_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/plan"
	"bayhand/model/planner/byhand"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
)

// bench is a bay whose pairs are apart, with cords without end.
const bench = `studio: bench
gear: {synth: {outputs: {out1-4: pro-line}}, desk: {inputs: {in1-4: pro-line}}}
bays: {main: {pairs: 6, jack: bantam, modes: isolated}}
wiring: [synth/out1-4 -> main/t1-4, main/b1-4 -> desk/in1-4]
`

// What a hand does from one patch to another, reckoned on paper: a cord in or out has two
// plugs, one of which an end moves has two as well, a dummy one.
func TestPlugsHandled(t *testing.T) {
	for _, test := range []struct {
		name, in, to string
		plugs, moves int
	}{
		{"nothing", "cords: [main/t1 - main/b1]", "cords: [main/t1 - main/b1]", 0, 0},
		{"a cord goes in", "", "cords: [main/t1 - main/b1]", 2, 1},
		{"a cord comes out", "cords: [main/t1 - main/b1]", "", 2, 1},
		{"an end moves", "cords: [main/t1 - main/b1]", "cords: [main/t1 - main/b2]", 2, 1},
		{"both ends move", "cords: [main/t1 - main/b1]", "cords: [main/t2 - main/b2]", 4, 2},
		{"two change places by an end each", "cords: [main/t1 - main/b1, main/t2 - main/b2]", "cords: [main/t1 - main/b2, main/t2 - main/b1]", 4, 2},
		{"one of two serves one", "cords: [main/t1 - main/b1, main/t2 - main/b2]", "cords: [main/t1 - main/b2]", 4, 2},
		{"a dummy goes elsewhere", "dummies: [main/t1]", "dummies: [main/t2]", 2, 2},
	} {
		r := byhand.Read(t, bench, "connect: []\n", test.in)
		p := r.Problem(t, problem.Options{})
		moves, _, ok := objective.Moves(p, r.Draft(t, p, test.to))
		if !ok || objective.Plugs(moves) != test.plugs || len(moves) != test.moves {
			t.Errorf("%s: %d plugs by %v, want %d by %d moves", test.name, objective.Plugs(moves), moves, test.plugs, test.moves)
		}
	}
}

// As many cords as can be are made from old ones: no assignment of old cords to new ones,
// of all that there are, has fewer plugs.
func TestNoOtherMovesHaveFewerPlugs(t *testing.T) {
	lots := rand.New(rand.NewPCG(1, 2))
	saved := 0
	for range 300 {
		in, to := drawnCords(lots), drawnCords(lots)
		r := byhand.Read(t, bench, "connect: []\n", "cords: ["+in+"]")
		p := r.Problem(t, problem.Options{})
		d := r.Draft(t, p, "cords: ["+to+"]")
		moves, _, _ := objective.Moves(p, d)
		old := graph.Without(p.Present.Parts(), d.Parts())
		fresh := graph.Without(d.Parts(), p.Present.Parts())
		most := mostMade(old, fresh)
		if got, want := objective.Plugs(moves), 2*len(old)+2*len(fresh)-2*most; got != want {
			t.Fatalf("from %s to %s: %d plugs, and %d suffice", in, to, got, want)
		}
		saved += most
	}
	if saved < 100 {
		t.Errorf("only %d cords were moved", saved)
	}
}

// drawnCords are up to four cords between some of the jacks.
func drawnCords(lots *rand.Rand) string {
	tops, bottoms := lots.Perm(6), lots.Perm(6)
	text := ""
	for i := range 1 + lots.IntN(4) {
		text += fmt.Sprintf("main/t%d - main/b%d, ", tops[i]+1, bottoms[i]+1)
	}
	return text[:len(text)-2]
}

// mostMade is how many new cords can be old ones of which one end moves, each from one of
// its own: by trying all.
func mostMade(old, fresh []graph.Part) int {
	if len(fresh) == 0 {
		return 0
	}
	most := mostMade(old, fresh[1:])
	for i, o := range old {
		if slices.ContainsFunc(o.Jacks(), func(j int) bool { return slices.Contains(fresh[0].Jacks(), j) }) {
			most = max(most, 1+mostMade(slices.Concat(old[:i], old[i+1:]), fresh[1:]))
		}
	}
	return most
}

// Where a long cord is needed and the only one owned is in for a short way, it is changed
// for a short one.
func TestLongCordIsExchanged(t *testing.T) {
	r := byhand.Read(t, `studio: long
gear: {synth: {outputs: {out1-2: pro-line}}, desk: {inputs: {in1-2: pro-line}}}
bays: {main: {pairs: 48, jack: bantam, modes: isolated}}
wiring: [synth/out1-2 -> main/t1-2, main/b1 -> desk/in1, main/b48 -> desk/in2]
cords: {stock: {30 cm: 1, 90 cm: 1}}
`, "connect: []\n", "cords: [{ends: [main/t1, main/b1], length: 90 cm}]")
	p := r.Problem(t, problem.Options{})
	moves, target, ok := objective.Moves(p, r.Draft(t, p, "cords: [main/t1 - main/b1, main/t2 - main/b48]"))
	if !ok || objective.Plugs(moves) != 6 || len(target.Cords) != 2 {
		t.Fatalf("%d plugs: %v", objective.Plugs(moves), moves)
	}
	for _, c := range target.Cords {
		if want := map[string]string{"main/b1": "30 cm", "main/b48": "90 cm"}[c.B.String()]; c.Length.String() != want {
			t.Errorf("%v to %v is %v, want %s", c.A, c.B, c.Length, want)
		}
	}
	if _, _, ok := objective.Moves(p, r.Draft(t, p, "cords: [main/t1 - main/b1, main/t2 - main/b48, main/t3 - main/b3]")); ok {
		t.Error("three cords of two that are owned")
	}
}

// One number decides before all that come after it.
func TestScoresAreComparedInOrder(t *testing.T) {
	values := func(lots *rand.Rand) [5]int {
		var v [5]int
		for i := range v {
			v[i] = lots.IntN(3)
		}
		return v
	}
	score := func(v [5]int) objective.Score {
		return objective.Score{Unplain: v[0], Plugs: v[1], InBay: v[2], Broken: v[3], Changed: v[4]}
	}
	lots := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		a, b := values(lots), values(lots)
		if score(a).Less(score(b)) != (slices.Compare(a[:], b[:]) < 0) {
			t.Fatalf("%v and %v", a, b)
		}
	}
}

// What a plain plan does without is counted, but where the fewest plugs are asked for.
func TestUnplain(t *testing.T) {
	const mults = `studio: mults
gear: {synth: {outputs: {out1-2: pro-line}}, desk: {inputs: {in1-4: pro-line}}}
bays: {main: {pairs: 8, jack: bantam, modes: {1-2: half-normal, 3-4: isolated, 5-8: isolated}}}
mults: [[main/t5, main/t6, main/b5], [main/t7, main/t8, main/b7]]
wiring: [synth/out1-2 -> main/t1-2, main/b1-4 -> desk/in1-4]
`
	for _, test := range []struct {
		name, in string
		want     int
	}{
		{"nothing", "", 0},
		{"a cord hangs", "cords: [{ends: [main/b1]}]", 1},
		{"a tap that nobody asks for", "cords: [main/t1 - main/b3]", 1},
		{"mults in a chain", "cords: [main/t5 - main/t7]", 1},
		{"one mult", "cords: [main/t5 - main/b3]", 0},
	} {
		for prefer, want := range map[plan.Prefer]int{plan.PreferPlain: test.want, plan.PreferFewest: 0} {
			r := byhand.Read(t, mults, "connect: [synth/out1 -> desk/in1]\n", "")
			p := r.Problem(t, problem.Options{Prefer: prefer})
			if got := objective.Unplain(p, r.Draft(t, p, test.in)); got != want {
				t.Errorf("%s, %s: %d, want %d", test.name, prefer, got, want)
			}
		}
	}
}
