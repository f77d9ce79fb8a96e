package keep_test

import (
	"maps"
	"strings"
	"testing"

	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/recall/keep"
)

// undoIn takes back the last recall in a room.
func (b *bench) undoIn(room string) keep.Status {
	b.t.Helper()
	s, err := asked(b.keeper, keep.Act{Do: keep.ToUndo, Options: keep.RecallOptions{Room: room}})
	if err != nil {
		b.t.Fatalf("undo in %s: %v", room, err)
	}
	return s
}

// is fails unless the rooms are in these sessions, and what was recalled is given.
func (b *bench) is(s keep.Status, want string, sessions ...string) {
	b.t.Helper()
	if got := inRooms(s); got != want {
		b.t.Errorf("the rooms are %s, want %s", got, want)
	}
	b.hearsAll(s, sessions...)
}

// An undo in a room takes back the last recall there, whoever recalled what elsewhere
// since: no cord moves in the other room, and undone it comes back.
func TestUndoInARoom(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		for _, session := range []string{"concert", "mixdown", "encore", "remix"} {
			b.recall(session)
			b.is(b.allByHand(), inRooms(b.status()), session)
		}
		s := b.undoIn("live")
		if got := owners(s); got != "map[far:true]" {
			t.Errorf("the way goes through %s", got)
		}
		b.is(b.allByHand(), "live=concert mix=remix", "concert", "remix")
		b.undoIn("live")
		b.is(b.allByHand(), "live=encore mix=remix", "encore", "remix")
		b.undoIn("mix")
		b.is(b.allByHand(), "live=encore mix=mixdown", "encore", "mixdown")
		b.undo() // the last of all was that undo
		b.is(b.allByHand(), "live=encore mix=remix", "encore", "remix")

		// It is so over a restart.
		b.end()
		config := b.config()
		config.Plan = planner.Make
		b.startWith(config)
		b.undoIn("live")
		b.is(b.allByHand(), "live=concert mix=remix", "concert", "remix")
	})
}

// The first recall in a room is undone to the patch that was in there, and to no session.
func TestUndoOfTheFirstInARoom(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		if _, err := asked(b.keeper, keep.Act{Do: keep.Plugged, A: jackOf("far/t4"), B: jackOf("far/b4")}); err != nil {
			t.Fatal(err)
		}
		b.recall("mixdown")
		b.allByHand()
		b.recall("concert")
		b.allByHand()
		if s := b.undoIn("live"); s.Phase != keep.Waiting || s.Session != "" {
			t.Errorf("while cords are to come out for the undo, the room is %s in %q", s.Phase, s.Session)
		}
		for i := 0; i < 9 && b.status().Phase == keep.Waiting; i++ {
			if _, err := asked(b.keeper, keep.Act{Do: keep.WereDone, All: true}); err != nil {
				t.Fatal(err)
			}
		}
		s := b.status()
		b.is(s, "live= mix=mixdown", "mixdown")
		if s.Phase != keep.Given {
			t.Errorf("mixdown is held, and the room is %s", s.Phase)
		}
		for _, c := range s.Known.Patch().Cords {
			if c.A.Owner == "far" && c.A != jackOf("far/t4") && c.B != jackOf("far/t4") {
				t.Errorf("%s - %s is in after the undo", c.A, c.B)
			}
		}
		if len(s.Known.Cords) != 2 {
			t.Errorf("in are %s", text(s.Known.Patch()))
		}
		b.undoIn("live")
		b.is(b.allByHand(), "live=concert mix=mixdown", "concert", "mixdown")
	})
}

// A recall that took the place of sessions in two rooms is undone in both, from either;
// rest in one room is undone there.
func TestUndoOverRooms(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		b.recall("concert")
		b.allByHand()
		b.recall("mixdown")
		b.allByHand()
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "link", Options: keep.RecallOptions{Instead: true}}); err != nil {
			t.Fatal(err)
		}
		b.allByHand()
		b.undoIn("mix")
		b.is(b.allByHand(), "live=concert mix=mixdown", "concert", "mixdown")
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: keep.RestName, Options: keep.RecallOptions{Room: "live"}}); err != nil {
			t.Fatal(err)
		}
		b.allByHand()
		b.recall("remix")
		b.allByHand()
		b.undoIn("live")
		b.is(b.allByHand(), "live=concert mix=remix", "concert", "remix")
	})
}

// What cannot be undone is refused with the room, and changes nothing.
func TestUndoInARoomIsRefused(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		b.recall("mixdown")
		b.allByHand()
		for _, c := range []struct {
			options keep.RecallOptions
			is      error
			says    string
		}{
			{keep.RecallOptions{Room: "live"}, keep.ErrConflict, "no recall in live"},
			{keep.RecallOptions{Room: "cellar"}, keep.ErrUsage, "there is no room cellar; there are live, mix"},
			{keep.RecallOptions{Room: "mix", Partly: true}, keep.ErrUsage, "no option but a room"},
		} {
			_, err := asked(b.keeper, keep.Act{Do: keep.ToUndo, Options: c.options})
			errorIs(t, err, c.is)
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%v does not say %q", err, c.says)
			}
		}
		s := b.status()
		b.is(s, "live= mix=mixdown", "mixdown")
		if s.Rooms[0].Undo || !s.Rooms[1].Undo {
			t.Errorf("undone can be %+v", s.Rooms)
		}
	})
}

// Each line of the history says which rooms it is about, and what was in force there.
func TestHistoryOfARoom(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		b.recall("concert")
		b.recall("mixdown")
		b.allByHand()
		events, err := b.journal.Find(keep.Query{})
		if err != nil {
			t.Fatal(err)
		}
		seen := map[string]bool{}
		for _, e := range events {
			for _, room := range []string{"live", "mix"} {
				q := keep.Query{Room: room}
				if e.Kind == keep.Recalled || e.Kind == keep.StepDone {
					if is := map[string]string{"live": "concert", "mix": "mixdown"}[room]; q.Takes(e) != (e.Session == is) {
						t.Errorf("%s of %s (%v) is taken in %s", e.Text, e.Session, e.Rooms, room)
					}
					seen[room+string(e.Kind)] = seen[room+string(e.Kind)] || q.Takes(e)
				}
			}
			if s := e.Step; s != nil && s.Do == plan.Plug && len(e.Rooms) != 1 {
				t.Errorf("%s is about %v", e.Text, e.Rooms)
			}
		}
		if len(seen) != 4 || !seen["livedone"] || !seen["mixdone"] || !seen["liverecalled"] {
			t.Errorf("seen are %v", seen)
		}
	})
}

// An undo that brings back a session in each of two rooms plans both, though the house has
// more rooms: what is in these stays.
func TestUndoOverRoomsOfMore(t *testing.T) {
	three := strings.NewReplacer("  stage:", "  organ: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}\n  stage:",
		"  far:", "  loft: {pairs: 4, modes: isolated}\n  far:",
		"ties:", "  - organ/out1-2 -> loft/t1-2\n  - loft/b1-2 -> organ/in1-2\nties:",
		"rooms: {", "rooms: {attic: [loft], ").Replace(twoRooms)
	sessions := maps.Clone(inTwoRooms)
	sessions["rehearsal"] = "session: Rehearsal\nconnect:\n  - organ/out1 -> organ/in2\n"
	onRoom(t, three, sessions, func(b *bench) {
		for _, session := range []string{"rehearsal", "concert", "mixdown"} {
			b.recall(session)
			b.allByHand()
		}
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "link", Options: keep.RecallOptions{Instead: true}}); err != nil {
			t.Fatal(err)
		}
		b.allByHand()
		b.undoIn("mix")
		b.is(b.allByHand(), "attic=rehearsal live=concert mix=mixdown", "rehearsal", "concert", "mixdown")
	})
	onRoom(t, three, sessions, func(b *bench) { // one of both rooms was in no session
		for _, session := range []string{"rehearsal", "concert"} {
			b.recall(session)
			b.allByHand()
		}
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "link", Options: keep.RecallOptions{Instead: true}}); err != nil {
			t.Fatal(err)
		}
		b.allByHand()
		b.undoIn("mix")
		s := b.allByHand()
		b.is(s, "attic=rehearsal live=concert mix=", "rehearsal", "concert")
		if cords := s.Known.Patch().Cords; len(cords) != 3 {
			t.Errorf("after the undo %v are in", cords)
		}
	})
}
