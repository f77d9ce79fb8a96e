package scope_test

import (
	"slices"
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/scope"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// Two rooms with lines to a bay in no room, where a unit stands and a matrix.
const shared = `studio: Shared
gear:
  desk: {outputs: {out1-4: pro-line}, inputs: {in1-4: pro-line}}
  stage: {outputs: {out1-4: pro-line}, inputs: {in1-4: pro-line}}
  unit: {channels: 1, line: pro-line}
bays:
  main: {pairs: 8, modes: isolated}
  far: {pairs: 8, modes: isolated}
  core: {pairs: 12, modes: {1-8: isolated, 9-12: half-normal}}
matrices:
  grid: {inputs: 2, outputs: 2}
wiring:
  - desk/out1-4 -> main/t1-4
  - main/b1-4 -> desk/in1-4
  - stage/out1-4 -> far/t1-4
  - far/b1-4 -> stage/in1-4
  - unit/out1 -> core/t9
  - core/b9 -> unit/in1
  - core/t8 -> grid/in1
  - core/b8 -> grid/in2
  - grid/out1 -> core/t7
  - grid/out2 -> core/b7
ties: [main/t5-8 = core/t1-4, far/t5-8 = core/b1-4]
cords: {stock: {60 cm: 4}}
dummies: 2
rooms: {live: [far, stage], mix: [main, desk]}
`

func sharedRooms(t *testing.T) *studio.Studio {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(shared))
	if problems.Errors() {
		t.Fatal(problems)
	}
	return s
}

func at(t *testing.T, p string) name.Point {
	t.Helper()
	point, err := name.Parse(p)
	if err != nil {
		t.Fatal(err)
	}
	return point
}

func cord(t *testing.T, a, b string) patch.Cord { return patch.Cord{A: at(t, a), B: at(t, b)} }

func asks(t *testing.T, called string, pairs ...string) *session.Session {
	t.Helper()
	s := &session.Session{Name: called, Program: -1}
	for i := 0; i < len(pairs); i += 2 {
		s.Wants = append(s.Wants, session.Want{Source: at(t, pairs[i]), Destination: at(t, pairs[i+1])})
	}
	return s
}

// What a session in another room has in is no part of a scope: its cords, its lines,
// what its crosspoints lead to, and the gear that it names.
func TestWhatOthersHold(t *testing.T) {
	s := sharedRooms(t)
	in := patch.Patch{
		Cords: []patch.Cord{cord(t, "far/t1", "far/t5"), cord(t, "core/b1", "core/t8"), cord(t, "main/t1", "main/t5"),
			cord(t, "core/t7", "core/b9"), cord(t, "core/b2", "core/t2")},
		Dummies:     []name.Point{at(t, "far/b8"), at(t, "core/t6")},
		Crosspoints: []patch.Crosspoint{{Output: at(t, "grid/out1"), Input: at(t, "grid/in1")}},
	}
	concert := scope.Holder{Session: "concert", Rooms: []string{"live"}, Wanted: asks(t, "concert", "stage/out1", "unit/in1")}
	c := scope.New(s, []string{"mix"}, asks(t, "mixdown", "desk/out1", "desk/in1"), []scope.Holder{concert}, in)
	inside, outside := c.Split(in)
	if want := []patch.Cord{cord(t, "main/t1", "main/t5")}; !slices.Equal(inside.Cords, want) {
		t.Errorf("in the scope are %v", inside.Cords)
	}
	if len(outside.Cords) != 4 || len(outside.Dummies) != 1 || len(inside.Dummies) != 1 || len(inside.Crosspoints) != 0 {
		t.Errorf("outside are %+v, inside %+v", outside, inside)
	}
	for place, mine := range map[string]bool{
		"main/t8": true, "core/t1": true, "core/t2": false, "core/b3": false, "core/t7": false, "core/t8": false, "core/b9": false,
		"unit/in1": false, "grid/out1": false, "grid/out2": true, "core/b8": true, "far/t2": false, "core/t6": true,
	} {
		if got := c.Has(at(t, place)); got != mine {
			t.Errorf("%s is in the scope: %v", place, got)
		}
	}
	if h, ok := c.HolderOf(at(t, "unit/in1")); !ok || h.Session != "concert" {
		t.Errorf("the unit is held by %+v", h)
	}
	if _, ok := c.HolderOf(at(t, "grid/out2")); ok {
		t.Error("a free output is held")
	}
	if got := c.Studio.Stock.Cords[0].Count; got != 1 {
		t.Errorf("%d cords are left of 5 that are in, of which 4 are elsewhere", got)
	}
	if c.Studio.Dummies != 1 {
		t.Errorf("%d dummies are left", c.Studio.Dummies)
	}
	if e := c.Elsewhere; len(e.Cords) != 1 || e.Cords[0].Count != 4 || e.Cords[0].Length != s.Stock.Cords[0].Length || e.Dummies != 1 {
		t.Errorf("elsewhere are %+v", e)
	}
	if got := scope.Join(inside, outside); len(got.Cords) != len(in.Cords) || len(got.Crosspoints) != 1 || len(got.Dummies) != 2 {
		t.Errorf("both together are %+v", got)
	}
}

// What a session in another room holds is not touched, and a refusal does not propose to
// mend it.
func TestHeldIsNotFaulty(t *testing.T) {
	s := sharedRooms(t)
	in := patch.Patch{Cords: []patch.Cord{cord(t, "core/b1", "core/b9"), cord(t, "far/t1", "far/t5")}}
	concert := scope.Holder{Session: "concert", Rooms: []string{"live"}, Wanted: asks(t, "concert", "stage/out1", "stage/in1")}
	wanted := asks(t, "mixdown", "desk/out1", "unit/in1")
	c := scope.New(s, []string{"mix"}, wanted, []scope.Holder{concert}, in)
	inside, _ := c.Split(in)
	p := made(t, plan.Request{Studio: c.Studio, From: inside, Session: wanted, Held: c.Held})
	if p.Given || len(p.Moves) > 0 {
		t.Errorf("the unit is taken from concert: %+v", p.Moves)
	}
	for _, m := range p.Missing {
		if strings.Contains(m.Because, "faulty") {
			t.Errorf("what is held is called faulty: %s", m.Because)
		}
		t.Log(m)
	}
}

// A room that holds nothing belongs to a scope where a cord joins the two; a tie alone
// does not make it so, nor a room that a session is in.
func TestWidened(t *testing.T) {
	s := sharedRooms(t)
	for _, c := range []struct {
		cords   []patch.Cord
		holders []scope.Holder
		want    []string
	}{
		{nil, nil, []string{"mix"}},
		{[]patch.Cord{cord(t, "main/t1", "main/t5")}, nil, []string{"mix"}},
		{[]patch.Cord{cord(t, "core/t1", "core/b1")}, nil, []string{"mix", "live"}},
		{[]patch.Cord{cord(t, "main/t1", "far/t1")}, nil, []string{"mix", "live"}},
		{[]patch.Cord{cord(t, "core/t1", "core/b1")}, []scope.Holder{{Session: "concert", Rooms: []string{"live"}}}, []string{"mix"}},
	} {
		if got := scope.Widened(s, []string{"mix"}, c.holders, patch.Patch{Cords: c.cords}); !slices.Equal(got, c.want) {
			t.Errorf("with %v it is %v", c.cords, got)
		}
	}
}
