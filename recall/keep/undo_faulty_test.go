package keep_test

import (
	"slices"
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// does fails unless an act is taken.
func (b *bench) does(act keep.Act) keep.Status {
	b.t.Helper()
	s, err := asked(b.keeper, act)
	if err != nil {
		b.t.Fatalf("%s: %v", act.Do, err)
	}
	return s
}

// plugsInto says whether a step left has a hand plug something into a jack.
func plugsInto(s keep.Status, jack name.Point) bool {
	return slices.ContainsFunc(s.Left, func(one plan.Step) bool {
		in := one.Do == plan.Plug || one.Do == plan.PlugLead || one.Do == plan.PlugDummy
		return in && slices.Contains(one.Ends, jack) || slices.Contains(one.To, jack)
	})
}

// An undo to an earlier patch puts nothing into a jack that was tagged faulty meanwhile, and
// says what stays out and why; once it is mended the cord is asked for.
func TestUndoAroundAFaultyJack(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		faulty := jackOf("main/t3")
		for _, ends := range [][2]string{{"main/t3", "main/b3"}, {"main/t4", "main/b4"}} {
			b.does(keep.Act{Do: keep.Plugged, A: jackOf(ends[0]), B: jackOf(ends[1])})
		}
		b.recall("mixdown")
		b.untilNothingIsLeft()
		b.does(keep.Act{Do: keep.Faulty, A: faulty})
		b.undo()
		s := b.status()
		if plugsInto(s, faulty) || !plugsInto(s, jackOf("main/t4")) {
			t.Errorf("the undo asks for %s", steps(s.Left))
		}
		const says = "Not possible: main/t3 - main/b3. main/t3 is faulty"
		if got := problem(s, "not-given"); got != says {
			t.Errorf("it says %q, want %q", got, says)
		}
		for _, one := range s.Left {
			if strings.Contains(one.Because, "rest patch") {
				t.Errorf("step %s: %q, where an earlier patch is gone back to", one.ID, one.Because)
			}
		}
		if s = b.untilNothingIsLeft(); s.Phase != keep.Stuck || problem(s, "not-given") != says {
			t.Errorf("at the end the room is %s, and says %v", s.Phase, codes(s))
		}
		b.does(keep.Act{Do: keep.Sound, A: faulty})
		if s = b.status(); !plugsInto(s, faulty) {
			t.Errorf("mended, it asks for %s", steps(s.Left))
		}
		if s = b.untilNothingIsLeft(); s.Phase != keep.Idle || len(s.Known.Cords) != 2 {
			t.Errorf("then the room is %s with %s", s.Phase, text(s.Known.Patch()))
		}
	})
}

// A cord that is in stays in a faulty jack, if the patch gone back to has it there.
func TestUndoLeavesWhatIsInAFaultyJack(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		b.does(keep.Act{Do: keep.Plugged, A: jackOf("main/t3"), B: jackOf("main/b3")})
		b.does(keep.Act{Do: keep.ToRecall, Session: "mixdown", Options: keep.RecallOptions{LeaveCords: true}})
		b.untilNothingIsLeft()
		b.does(keep.Act{Do: keep.Faulty, A: jackOf("main/t3")})
		b.undo()
		s := b.untilNothingIsLeft()
		if s.Phase != keep.Idle || len(s.Known.Cords) != 1 || s.Known.Cords[0].A != jackOf("main/t3") {
			t.Errorf("the room is %s with %s", s.Phase, text(s.Known.Patch()))
		}
	})
}

// A strip puts nothing of the rest patch into a faulty jack either, and goes as far as it can.
func TestStripAroundAFaultyJack(t *testing.T) {
	room := twoRooms + "rest: {cords: [main/t3 - main/b3]}\n"
	onRoom(t, room, inTwoRooms, func(b *bench) {
		b.recall("remix") // which takes those jacks
		b.untilNothingIsLeft()
		b.does(keep.Act{Do: keep.Pulled, A: jackOf("main/t3")})
		b.does(keep.Act{Do: keep.Faulty, A: jackOf("main/b3")})
		b.does(keep.Act{Do: keep.ToRecall, Session: keep.RestName})
		s := b.untilNothingIsLeft()
		if plugsInto(s, jackOf("main/b3")) || problem(s, "not-given") != "Not possible: main/t3 - main/b3. main/b3 is faulty" {
			t.Errorf("the room is %s, and says %v, %q", s.Phase, codes(s), problem(s, "not-given"))
		}
	})
}
