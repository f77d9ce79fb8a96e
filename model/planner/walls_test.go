package planner_test

import (
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/planner/certificate"
	"bayhand/model/text"
)

// twoRooms are those of the manual, with one tie between them.
const twoRooms = `studio: Two rooms
gear:
  desk: {outputs: {out1-4: pro-line}, inputs: {in1-4: pro-line}}
  stage: {outputs: {out1-4: pro-line}, inputs: {in1-4: pro-line}}
bays:
  main: {pairs: 8, modes: isolated}
  far: {pairs: 8, modes: isolated}
wiring:
  - desk/out1-4 -> main/t1-4
  - main/b1-4 -> desk/in1-4
  - stage/out1-4 -> far/t1-4
  - far/b1-4 -> stage/in1-4
ties: [main/b8 = far/t8]
rooms: {live: [far], mix: [main]}
`

// A cord goes through the wall between two rooms only where one is known to go there, or
// the file has the rooms stand together: else lines go by the ties, and what these do not
// carry is refused, with a proof that the checker accepts.
func TestNoCordThroughTheWall(t *testing.T) {
	const one, two = "connect: [stage/out1 -> desk/in1]\n", "connect: [stage/out1 -> desk/in1, desk/out1 -> stage/in1]\n"
	for _, c := range []struct {
		name, more, session, in string
		given, across           bool
	}{
		{"one line, by the tie", "", one, "", true, false},
		{"two lines, one tie", "", two, "", false, false},
		{"the bays have places", "PLACED", two, "", false, false},
		{"few cords", "cords: {stock: {60 cm: 8}}\n", two, "", false, false},
		{"the rooms stand together", "together: [[live, mix]]\n", two, "", true, true},
		{"a cord goes there", "", two, "cords: [main/t7 - far/b7]", true, true},
		{"a cord goes there at rest", "rest: {cords: [main/t7 - far/b7]}\n", two, "", true, true},
		{"the session's patch has one", "", two + "patch: {cords: [main/t7 - far/b7]}\n", "", true, true},
	} {
		for _, prefer := range []plan.Prefer{plan.PreferSame, plan.PreferPlain, plan.PreferFewest} {
			file := twoRooms + c.more
			if c.more == "PLACED" {
				file = strings.ReplaceAll(twoRooms, "pairs: 8,", "pairs: 8, at: {x: 0 cm, y: 100 cm},")
			}
			s, _, problems := text.ReadStudio("studio.yaml", []byte(file))
			if problems.Errors() {
				t.Fatal(problems)
			}
			asked, _, problems := text.ReadSession("session.yaml", []byte("session: S\n"+c.session), s, nil)
			if problems.Errors() {
				t.Fatal(problems)
			}
			from, _, problems := text.ReadPatch("in.yaml", []byte("patch: {"+c.in+"}\n"), s)
			if problems.Errors() {
				t.Fatal(problems)
			}
			room := heard.NewRoom(s)
			p, err := planner.Find(t.Context(), room, from, asked, planner.Options{Prefer: prefer})
			if err != nil {
				t.Fatal(err)
			}
			if p.Given != c.given || through(p.Target.Cords) != c.across {
				t.Errorf("%s, %s: given %v with the cords %v; %v", c.name, prefer, p.Given, p.Target.Cords, p.Missing)
			}
			for _, m := range p.Missing {
				if m.Shortage == nil {
					t.Errorf("%s, %s: no proof that %s cannot be had: %s", c.name, prefer, m.Want, m.Because)
				} else if err := certificate.Check(room, from, asked, m.Shortage); err != nil {
					t.Errorf("%s, %s: %v", c.name, prefer, err)
				}
			}
		}
	}
}

// through says whether a cord goes from the one room to the other.
func through(cords []patch.Cord) bool {
	for _, c := range cords {
		if !c.B.IsZero() && c.A.Owner != c.B.Owner {
			return true
		}
	}
	return false
}
