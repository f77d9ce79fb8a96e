package planner_test

import (
	"slices"
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/text"
)

// Where a line cannot be had because other rooms have the only way to it, or because a wall
// stands there, the refusal says so, and not that the studio has no path.
func TestWhatOtherRoomsHaveIsNamed(t *testing.T) {
	tie := []name.Point{name.At("main", "b", 8), name.At("far", "t", 8)}
	for _, c := range []struct {
		name, file string
		held       []name.Point
		want       string
	}{
		{"the tie is not free", twoRooms, tie, "a path there is not free: far/t8, main/b8; "},
		{"one end of it is not free", twoRooms, tie[:1], "a path there is not free: main/b8; "},
		{"a wall", strings.ReplaceAll(twoRooms, "ties: [main/b8 = far/t8]\n", ""), nil,
			"a cord would have to go from main to far, and the rooms mix and live do not stand together (together:); "},
		{"the tie is tagged faulty", twoRooms + "faulty: [main/b8, far/t8]\n", nil, "tagged faulty: far/t8, main/b8"},
	} {
		s, _, problems := text.ReadStudio("studio.yaml", []byte(c.file))
		if problems.Errors() {
			t.Fatal(problems)
		}
		asked, _, problems := text.ReadSession("session.yaml", []byte("session: S\nconnect: [stage/out1 -> desk/in1]\n"), s, nil)
		if problems.Errors() {
			t.Fatal(problems)
		}
		around := *s
		around.Faulty = append(slices.Clone(s.Faulty), c.held...)
		p, err := planner.Make(t.Context(), plan.Request{Studio: &around, Session: asked, Held: c.held})
		if err != nil || p.Given || len(p.Missing) != 1 {
			t.Fatalf("%s: %+v, %v", c.name, p, err)
		}
		if because := p.Missing[0].Because; !strings.Contains(because, c.want) {
			t.Errorf("%s: %q, which does not say %q", c.name, because, c.want)
		}
	}
}
