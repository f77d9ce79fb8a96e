package keep_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bayhand/model/patch"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/recall/keep"
)

func (b *bench) undo() keep.Status {
	b.t.Helper()
	s, err := asked(b.keeper, keep.Act{Do: keep.ToUndo})
	if err != nil {
		b.t.Fatalf("undo: %v", err)
	}
	return s
}

func TestUndo(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		_, err := asked(b.keeper, keep.Act{Do: keep.ToUndo})
		errorIs(t, err, keep.ErrConflict)
		b.recall("tern")
		b.allByHand()
		b.recall("heron") // half-way: the matrix has gone on, the cords have not
		s := b.undo()
		b.wants(s, keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2), farOne)
		if s.Session != "tern" || s.Recall != 3 {
			t.Errorf("%s, recall %d", s.Session, s.Recall)
		}
		// Undoing the undo is heron again.
		if s = b.undo(); s.Session != "heron" {
			t.Errorf("back to %q", s.Session)
		}
		b.allByHand()
		b.holds(cross(1, 3))
	})
}

// What was half-way is asked for again, and not what happened to be in.
func TestUndoToWhatWasHalfway(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("tern")
		b.recall("heron")
		s := b.undo()
		if s.Session != "tern" || len(byHand(s)) != 2 {
			t.Errorf("%s with %s", s.Session, steps(s.Left))
		}
		b.wants(b.allByHand(), keep.Given, "")
	})
}

// Before the first recall nothing was intended: the patch that was in comes
// back, and then nothing is asked of the room.
func TestUndoOfTheFirst(t *testing.T) {
	onBench(t, func(b *bench) {
		b.units["grid"].turn(out(4), in(4))
		b.start()
		b.status()
		if _, err := asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("t8"), B: jack("b8")}); err != nil {
			t.Fatal(err)
		}
		b.recall("tern")
		b.tick(byHand(b.status())[0])
		s := b.undo()
		if s.Session != "" || s.Phase != keep.Waiting {
			t.Errorf("%q is %s with %s", s.Session, s.Phase, steps(s.Left))
		}
		b.restart(-1)
		for i := 0; i < 9 && b.status().Phase == keep.Waiting; i++ {
			if _, err := asked(b.keeper, keep.Act{Do: keep.WereDone, All: true}); err != nil {
				t.Fatal(err)
			}
		}
		s = b.status()
		b.wants(s, keep.Idle, "")
		b.holds(cross(4, 4))
		if p := s.Known.Patch(); len(p.Cords) != 1 || !p.Cords[0].Same(cord("t8", "b8")) {
			t.Errorf("in are %+v", p.Cords)
		}
		if s = b.undo(); s.Session != "tern" {
			t.Errorf("the undo is undone to %q", s.Session)
		}
	})
}

func TestUndoOfStrip(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: keep.RestName}); err != nil {
			t.Fatal(err)
		}
		b.holds()
		b.wants(b.undo(), keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2))
		if s := b.undo(); s.Session != keep.RestName {
			t.Errorf("back to %q", s.Session)
		}
		b.holds()
	})
}

// A session whose file has gone meanwhile is gone back to as it was read.
func TestUndoToAFileThatIsGone(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		b.recall("heron")
		b.set(func() { b.files = keep.Files{Studio: b.studio} })
		s := b.undo()
		b.wants(s, keep.Given, "")
		if problem(s, "session-unread") == "" {
			t.Errorf("problems %v", s.Problems)
		}
	})
}

func TestUndoThatCannotBe(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		b.recall("heron")
		b.planner.missing["plain"] = "a jack is faulty now"
		_, err := asked(b.keeper, keep.Act{Do: keep.ToUndo})
		errorIs(t, err, keep.ErrNotGiven)
		if s := b.status(); s.Session != "heron" || !strings.Contains(err.Error(), "a jack is faulty now") {
			t.Errorf("%s, %v", s.Session, err)
		}
	})
}

// With the real planner: of the many patches that give a session, an undo takes
// the one that was in, though the file keeps none.
func TestUndoTakesTheSamePatch(t *testing.T) {
	onBench(t, func(b *bench) {
		s := wired()
		b.studio, b.files.Studio = s, s
		b.files.Sessions = map[string]*session.Session{
			"crossed": hears("crossed", [2]int{1, 2}, [2]int{2, 1}, [2]int{5, 6}),
			"shifted": hears("shifted", [2]int{1, 3}, [2]int{5, 5}),
		}
		config := b.config()
		config.Plan, config.KeepPatch = planner.Make, nil
		b.startWith(config)
		b.recall("crossed")
		before := b.allByHand().Known.Patch()
		b.recall("shifted")
		b.allByHand()
		b.undo()
		after := b.allByHand().Known.Patch()
		if text(before) != text(after) {
			t.Errorf("was %s, is %s", text(before), text(after))
		}
		b.pass(time.Minute)
		b.wants(b.status(), keep.Given, "")
	})
}

func text(p patch.Patch) string {
	var all []string
	for _, c := range p.Cords {
		all = append(all, min(c.A.String(), c.B.String())+"-"+max(c.A.String(), c.B.String()))
	}
	for _, c := range p.Crosspoints {
		all = append(all, c.Output.String()+"="+c.Input.Port())
	}
	for _, j := range p.Dummies {
		all = append(all, j.String())
	}
	slices.Sort(all)
	return strings.Join(all, " ")
}

// A session that is recalled once more is undone with its first recall: two taps on one
// button are one recall.
func TestARecallThatIsMadeAgainIsUndoneAtOnce(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("tern")
		b.allByHand()
		b.recall("heron")
		b.recall("heron")
		b.allByHand()
		b.recall("heron")
		if s := b.undo(); s.Session != "tern" {
			t.Errorf("undone, the room is back to %q", s.Session)
		}
		if s := b.undo(); s.Session != "heron" {
			t.Errorf("the undo undone, the room is back to %q", s.Session)
		}
	})
}
