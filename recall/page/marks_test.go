package page

import (
	"testing"

	"pgregory.net/rapid"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

func cordIn(t testing.TB, a, b string) keep.KnownCord {
	return keep.KnownCord{Cord: patch.Cord{A: at(t, a)[0], B: at(t, b)[0]}}
}

func TestMarkStaysWithItsCord(t *testing.T) {
	m := newMarks()
	plug := plan.Step{ID: "1", By: plan.Person, Do: plan.Plug, Ends: at(t, "main/t9", "main/b9")}
	move := plan.Step{ID: "2", By: plan.Person, Do: plan.MoveEnd, Ends: at(t, "main/t2", "main/b2"), To: at(t, "main/t2", "main/b8")}
	before := keep.Status{
		Known: keep.Known{Cords: []keep.KnownCord{cordIn(t, "main/t1", "main/b1"), cordIn(t, "main/t2", "main/b2")}},
		Left:  []plan.Step{plug, move},
	}
	first := m.assign(before)
	planned := first[jointOf(plug.Ends)]
	moving := first[jointOf(move.Ends)]
	if first[jointOf(move.To)] != moving {
		t.Errorf("the cord to move is %v, and %v where it goes", moving, first[jointOf(move.To)])
	}
	// The first cord is out, the planned one in, plugged the other way round, and
	// the moved one where it goes.
	after := m.assign(keep.Status{Known: keep.Known{Cords: []keep.KnownCord{cordIn(t, "main/b9", "main/t9"), cordIn(t, "main/b8", "main/t2")}}})
	if after[jointOf(plug.Ends)] != planned || after[jointOf(move.To)] != moving {
		t.Errorf("marks changed from %v to %v", first, after)
	}
}

func TestMarksAreEachOnce(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := newMarks()
		for range rapid.IntRange(1, 8).Draw(rt, "rounds") {
			var s keep.Status
			for _, n := range rapid.SliceOfDistinct(rapid.IntRange(1, 60), rapid.ID[int]).Draw(rt, "cords") {
				s.Known.Cords = append(s.Known.Cords, keep.KnownCord{Cord: patch.Cord{A: name.At("main", "t", n), B: name.At("main", "b", n)}})
			}
			owner := map[Mark]joint{}
			for j, mark := range m.assign(s) {
				if other, taken := owner[mark]; taken {
					rt.Fatalf("%v and %v both carry %v", j, other, mark)
				}
				owner[mark] = j
			}
			if len(owner) != len(s.Known.Cords) || len(m.given) != len(owner) {
				rt.Fatalf("%d marks for %d cords, %d remembered", len(owner), len(s.Known.Cords), len(m.given))
			}
		}
	})
}

func TestMarkNumbers(t *testing.T) {
	seen := map[string]bool{}
	for n := range 26 * 27 {
		m := markNumber(n)
		if seen[m.Letter] || len(m.Letter) > 2 {
			t.Fatalf("mark %d is %q", n, m.Letter)
		}
		seen[m.Letter] = true
	}
	if got := markNumber(26).Letter; got != "AA" {
		t.Errorf("after Z comes %q", got)
	}
}
