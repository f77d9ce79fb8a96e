package keep_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/planner"
	"bayhand/model/session"
	modeltext "bayhand/model/text"
	"bayhand/recall/keep"
)

// Two rooms with a bay each and a tie between the bays, and a matrix that is in
// neither. Gear is in the room of the bay that it is wired to.
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

var inTwoRooms = map[string]string{
	"concert": "session: Concert\nconnect:\n  - stage/out1-2 -> stage/in1-2\n",
	"encore":  "session: Encore\nconnect:\n  - stage/out3 -> stage/in1\n",
	"mixdown": "session: Mixdown\nconnect:\n  - desk/out1 -> desk/in2\n",
	"remix":   "session: Remix\nconnect:\n  - desk/out3 -> desk/in3\n",
	"link":    "session: Link\nconnect:\n  - stage/out1 -> desk/in1\n",
}

func onTwoRooms(t *testing.T, test func(b *bench)) { onRoom(t, twoRooms, inTwoRooms, test) }

// onRoom is a bench in a studio of one's own, with its sessions and the planner.
func onRoom(t *testing.T, room string, sessions map[string]string, test func(b *bench)) {
	onBench(t, func(b *bench) {
		s, _, problems := modeltext.ReadStudio("studio.yaml", []byte(room))
		if problems.Errors() {
			t.Fatal(problems)
		}
		b.studio, b.files.Studio, b.files.Sessions = s, s, map[string]*session.Session{}
		for name, src := range sessions {
			read, _, problems := modeltext.ReadSession(name+".yaml", []byte(src), s, nil)
			if problems.Errors() {
				t.Fatal(problems)
			}
			read.Name = name
			b.files.Sessions[name] = read
		}
		config := b.config()
		config.Plan = planner.Make
		b.startWith(config)
		test(b)
	})
}

// inRooms says which session each room is in.
func inRooms(s keep.Status) string {
	var texts []string
	for _, r := range s.Rooms {
		texts = append(texts, r.Room+"="+r.Session)
	}
	return strings.Join(texts, " ")
}

// owners are the bays in which the steps left move anything.
func owners(s keep.Status) string {
	seen := map[string]bool{}
	for _, step := range s.Left {
		for _, p := range append(step.Ends, step.To...) {
			seen[p.Owner] = true
		}
	}
	return fmt.Sprint(seen)
}

// hearsAll fails unless all sessions are given together.
func (b *bench) hearsAll(s keep.Status, sessions ...string) {
	b.t.Helper()
	room := heard.NewRoom(b.studio).Hear(s.Known.Patch())
	for _, called := range sessions {
		for _, w := range b.files.Sessions[called].Wants {
			if got := fmt.Sprint(room.Hears(w.Destination)); got != fmt.Sprint([]name.Point{w.Source}) {
				b.t.Errorf("%s: %s hears %s", called, w.Destination, got)
			}
		}
	}
}

func TestRoomsSideBySide(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		if got := inRooms(b.status()); got != "live= mix=" {
			t.Errorf("at first %s", got)
		}
		b.recall("concert")
		s := b.allByHand()
		if got := inRooms(s); got != "live=concert mix=" {
			t.Errorf("then %s", got)
		}
		s = b.recall("mixdown")
		if got := owners(s); got != "map[main:true]" {
			t.Errorf("the way goes through %s", got)
		}
		s = b.allByHand()
		if got := inRooms(s); got != "live=concert mix=mixdown" || s.Session != "mixdown" {
			t.Errorf("side by side are %s", got)
		}
		b.hearsAll(s, "concert", "mixdown")
		if kept, _ := b.kept.of("mixdown"); len(kept.Cords) != 1 || kept.Cords[0].A.Owner != "main" {
			t.Errorf("kept in the file of mixdown is %+v", kept)
		}

		// Over a restart both are held, and each is replaced in its room.
		b.end()
		config := b.config()
		config.Plan = planner.Make
		b.startWith(config)
		if got := inRooms(b.status()); got != "live=concert mix=mixdown" {
			t.Errorf("after a restart %s", got)
		}
		b.recall("encore")
		s = b.allByHand()
		b.hearsAll(s, "encore", "mixdown")
		if got := inRooms(s); got != "live=encore mix=mixdown" {
			t.Errorf("the encore beside the mix is %s", got)
		}
		// Undone, it is the concert again, and the mix was not touched.
		b.undo()
		s = b.allByHand()
		b.hearsAll(s, "concert", "mixdown")
		if got := inRooms(s); got != "live=concert mix=mixdown" {
			t.Errorf("undone it is %s", got)
		}
		b.recall("remix")
		b.hearsAll(b.allByHand(), "concert", "remix")
	})
}

// Half-way in one room, another is recalled: what is left of both is asked for.
func TestRoomsHalfway(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		b.recall("concert")
		b.tick(byHand(b.status())[0])
		s := b.recall("mixdown")
		if got := owners(s); got != "map[far:true main:true]" || len(byHand(s)) != 2 {
			t.Errorf("left in %s are %s", got, steps(s.Left))
		}
		b.hearsAll(b.allByHand(), "concert", "mixdown")
	})
}

func TestRoomsThatTouch(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		b.recall("concert")
		before := b.allByHand()
		_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "link"})
		errorIs(t, err, keep.ErrConflict)
		if part := "link needs stage/out1, in use by concert (room live)"; err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("%v does not say %q", err, part)
		}
		s := b.status()
		if s.Session != "concert" || text(s.Known.Patch()) != text(before.Known.Patch()) || len(s.Left) > 0 {
			t.Errorf("%s with %s left", s.Session, steps(s.Left))
		}
		// Asked for instead, it takes the place.
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "link", Options: keep.RecallOptions{Instead: true}}); err != nil {
			t.Fatal(err)
		}
		s = b.allByHand()
		b.hearsAll(s, "link")
		if got := inRooms(s); got != "live=link mix=link" {
			t.Errorf("instead it is %s", got)
		}
		// What is in both rooms is in the way of one that wants a part of them.
		_, err = asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "remix"})
		errorIs(t, err, keep.ErrConflict)
	})
}

func TestRestInOneRoom(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		b.recall("concert")
		b.allByHand()
		b.recall("mixdown")
		b.allByHand()
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: keep.RestName, Options: keep.RecallOptions{Room: "live"}}); err != nil {
			t.Fatal(err)
		}
		s := b.allByHand()
		if got := inRooms(s); got != "live= mix=mixdown" {
			t.Errorf("live at rest: %s", got)
		}
		b.hearsAll(s, "mixdown")
		if p := s.Known.Patch(); len(p.Cords) != 1 {
			t.Errorf("in are %+v", p.Cords)
		}
		for _, o := range []struct {
			session, room string
		}{{keep.RestName, "cellar"}, {"concert", "live"}} {
			_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: o.session, Options: keep.RecallOptions{Room: o.room}})
			errorIs(t, err, keep.ErrUsage)
		}
		// Rest without a room is rest for all.
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: keep.RestName}); err != nil {
			t.Fatal(err)
		}
		if s := b.allByHand(); len(s.Known.Cords) != 0 || inRooms(s) != "live= mix=" {
			t.Errorf("at rest are %+v, %s", s.Known.Cords, inRooms(s))
		}
	})
}

// A way that could only be had through the other room is refused, and so is one
// that would pull there what that room's session does not pull itself.
func TestNoWayThroughTheOtherRoom(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		b.recall("concert")
		b.allByHand()
		b.set(func() {
			// All cords of the house are in the other room.
			b.studio.Stock.Unlimited = false
			b.studio.Stock.Cords = nil
		})
		_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "mixdown"})
		if !errors.Is(err, keep.ErrNotGiven) && !errors.Is(err, keep.ErrConflict) {
			t.Errorf("recalled without a cord: %v", err)
		}
		if s := b.status(); s.Session != "concert" || len(s.Left) > 0 {
			t.Errorf("%s with %s left", s.Session, steps(s.Left))
		}
	})
}

// The files of all sessions that are held are followed.
func TestRoomsFollowTheirFiles(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		b.recall("concert")
		b.allByHand()
		b.recall("mixdown")
		b.allByHand()
		edited := *b.files.Sessions["encore"]
		edited.Name = "concert"
		b.set(func() {
			sessions := map[string]*session.Session{}
			for name, s := range b.files.Sessions {
				sessions[name] = s
			}
			sessions["concert"] = &edited
			b.files.Sessions = sessions
		})
		b.keeper.Look()
		b.pass(time.Second)
		b.hearsAll(b.allByHand(), "concert", "mixdown")
		b.set(func() { b.files.Sessions = map[string]*session.Session{"mixdown": b.files.Sessions["mixdown"]} })
		b.keeper.Look()
		s := b.status()
		if got := problem(s, "session-unread"); !strings.Contains(got, "the file of concert is missing") {
			t.Errorf("problems %v", s.Problems)
		}
		b.wants(s, keep.Given, "")
	})
}

// Gear in no room is named by a session that another room is in: the refusal says which.
func TestGearInUse(t *testing.T) {
	room := strings.Replace(twoRooms, "bays:", "  unit: {channels: 1, line: pro-line}\nbays:\n  core: {pairs: 8, modes: isolated}", 1)
	room = strings.Replace(room, "ties: [main/b8 = far/t8]", "  - unit/out1 -> core/t8\n  - core/b8 -> unit/in1\nties: [main/b5-8 = core/t1-4, far/t5-8 = core/b1-4]", 1)
	onRoom(t, room, map[string]string{
		"concert": "session: Concert\nconnect:\n  - stage/out1 -> unit -> stage/in1\n",
		"mixdown": "session: Mixdown\nconnect:\n  - desk/out1 -> unit/in1\n",
		"remix":   "session: Remix\nconnect:\n  - desk/out1 -> desk/in1\n",
	}, func(b *bench) {
		b.recall("concert")
		b.allByHand()
		_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "mixdown"})
		errorIs(t, err, keep.ErrConflict)
		if want := "mixdown needs unit/in1, in use by concert (room live)"; err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v does not say %q", err, want)
		}
		b.recall("remix")
		s := b.allByHand()
		b.hearsAll(s, "concert", "remix")
		// A cord of concert is pulled in the machine room: its own plan is made anew, and
		// the mix has nothing to do.
		if _, err := asked(b.keeper, keep.Act{Do: keep.Pulled, A: jackOf("core/t8")}); err != nil {
			t.Fatal(err)
		}
		s = b.status()
		if got := owners(s); strings.Contains(got, "main") || len(byHand(s)) != 1 {
			t.Errorf("left in %s are %s", got, steps(s.Left))
		}
		b.hearsAll(b.allByHand(), "concert", "remix")
	})
}
