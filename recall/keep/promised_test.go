package keep_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// What a session in another room still has to be plugged is in use as what is in: the
// same is refused, with the same words, before and after its cords are plugged.

const fourCords = twoRooms + "cords: {stock: {90 cm: 4}}\n"

var withFourCords = map[string]string{
	"monday":    "session: Monday\nconnect: [stage/out1-3 -> stage/in1-3]\n",
	"tuesday":   "session: Tuesday\nconnect: [desk/out1-2 -> desk/in1-2]\n",
	"wednesday": "session: Wednesday\nconnect: [desk/out3 -> desk/in3]\n",
	"encore":    "session: Encore\nconnect: [stage/out1-2 -> stage/in1-2]\n",
	"speech":    "session: Speech\nsilent: [stage/in1]\n",
}

// lacks fails unless a recall, and a look ahead at it, are refused since a session has
// what is lacking.
func (b *bench) lacks(session string, want plan.InUse, says string) {
	b.t.Helper()
	_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: session})
	var not *keep.NotGivenError
	if !errors.As(err, &not) || len(not.Missing) == 0 {
		b.t.Errorf("%s: %v", session, err)
		return
	}
	a, err := b.keeper.Act(ctx, keep.Act{Do: keep.ToPreview, Session: session})
	if err != nil || a.Plan.Given || len(a.Plan.Missing) == 0 {
		b.t.Errorf("the preview of %s is %+v, %v", session, a.Plan, err)
		return
	}
	for what, missing := range map[string]plan.Missing{"recall": not.Missing[0], "preview": a.Plan.Missing[0]} {
		if got := fmt.Sprint(missing.InUse); got != fmt.Sprint([]plan.InUse{want}) {
			b.t.Errorf("%s of %s: in use is %s, want %v", what, session, got, want)
		}
	}
	if all := fmt.Sprint(not.Missing); !strings.Contains(all, says) {
		b.t.Errorf("%s does not say %q", all, says)
	}
}

func TestCordsStillToPlugAreInUse(t *testing.T) {
	onRoom(t, fourCords, withFourCords, func(b *bench) {
		monday := plan.InUse{Session: "monday", Rooms: []string{"live"}, Cords: 3}
		const says = "3 cords are in use by monday (room live)"
		s := b.recall("monday")
		b.lacks("tuesday", monday, says)
		b.tick(byHand(s)[0])
		b.lacks("tuesday", monday, says) // two to plug, and one that is in
		b.allByHand()
		b.lacks("tuesday", monday, says)
		b.recall("wednesday") // which takes what is left
		b.hearsAll(b.allByHand(), "monday", "wednesday")
	})
}

// The other way round it is the same, and what a session leaves is free at once where it
// was not in yet.
func TestCordsStillToPlugAreFreed(t *testing.T) {
	onRoom(t, fourCords, withFourCords, func(b *bench) {
		tuesday := plan.InUse{Session: "tuesday", Rooms: []string{"mix"}, Cords: 2}
		b.recall("tuesday")
		b.lacks("monday", tuesday, "2 cords are in use by tuesday (room mix)")
		for leaving, act := range map[string]keep.Act{
			"a strip":         {Do: keep.ToRecall, Session: keep.RestName, Options: keep.RecallOptions{Room: "mix"}},
			"an undo":         {Do: keep.ToUndo, Options: keep.RecallOptions{Room: "mix"}},
			"a smaller one":   {Do: keep.ToRecall, Session: "wednesday"},
			"rest everywhere": {Do: keep.ToRecall, Session: keep.RestName},
		} {
			if _, err := asked(b.keeper, act); err != nil {
				t.Fatalf("%s: %v", leaving, err)
			}
			b.recall("monday")
			b.lacks("tuesday", plan.InUse{Session: "monday", Rooms: []string{"live"}, Cords: 3}, "3 cords are in use by monday")
			if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: keep.RestName, Options: keep.RecallOptions{Room: "live"}}); err != nil {
				t.Fatal(err)
			}
			b.recall("tuesday")
		}
		b.hearsAll(b.allByHand(), "tuesday")
	})
}

func TestDummiesStillToPlugAreInUse(t *testing.T) {
	room := strings.ReplaceAll(twoRooms, "isolated", "normal") + "dummies: 1\ncords: {stock: {90 cm: 0}}\n"
	onRoom(t, room, map[string]string{"concert": "session: Concert\nsilent: [stage/in1]\n", "mixdown": "session: Mixdown\nsilent: [desk/in1]\n"}, func(b *bench) {
		concert := plan.InUse{Session: "concert", Rooms: []string{"live"}, Dummies: 1}
		const says = "1 dummy is in use by concert (room live)"
		b.recall("concert")
		b.lacks("mixdown", concert, says)
		b.allByHand()
		b.lacks("mixdown", concert, says)
		b.recall("rest")
		b.allByHand()
		b.recall("mixdown")
		b.lacks("concert", plan.InUse{Session: "mixdown", Rooms: []string{"mix"}, Dummies: 1}, "1 dummy is in use by mixdown (room mix)")
	})
}

// A cord that stays, and one of which an end is moved, is in use once.
func TestACordIsInUseOnce(t *testing.T) {
	sessions := map[string]string{
		"concert": "session: Concert\nconnect: [stage/out1-2 -> stage/in1-2]\n",
		"encore":  "session: Encore\nconnect: [stage/out1 -> stage/in1, stage/out2 -> stage/in3]\n",
		"tuesday": withFourCords["tuesday"],
	}
	onRoom(t, fourCords, sessions, func(b *bench) {
		b.recall("concert")
		b.allByHand()
		if s := b.recall("encore"); len(byHand(s)) != 1 {
			t.Errorf("to the encore are %s", steps(s.Left))
		}
		b.recall("tuesday")
		b.hearsAll(b.allByHand(), "encore", "tuesday")
	})
}

// What a session in another room has left is known where a later plan cannot be gone any
// more, and where it was set up in part.
func TestCordsStillToPlugAreNotForgotten(t *testing.T) {
	onRoom(t, fourCords, withFourCords, func(b *bench) {
		monday := plan.InUse{Session: "monday", Rooms: []string{"live"}, Cords: 3}
		b.recall("monday")
		b.recall("wednesday")
		if _, err := asked(b.keeper, keep.Act{Do: keep.Faulty, A: jackOf("main/t3")}); err != nil {
			t.Fatal(err)
		}
		if s := b.status(); s.Plan.Given || len(byHand(s)) != 3 {
			t.Errorf("with a faulty jack: given is %t, left are %s", s.Plan.Given, steps(s.Left))
		}
		b.lacks("tuesday", monday, "3 cords are in use by monday (room live)")
		if s := b.status(); len(byHand(s)) != 3 {
			t.Errorf("left are %s", steps(s.Left))
		}
	})
	onRoom(t, strings.Replace(fourCords, "90 cm: 4", "90 cm: 3", 1), withFourCords, func(b *bench) {
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "monday"}); err != nil {
			t.Fatal(err)
		}
		b.recall("encore")
		b.recall("wednesday")
		b.tick(byHand(b.status())[0])
		partly := keep.Act{Do: keep.ToRecall, Session: "tuesday", Options: keep.RecallOptions{Partly: true}}
		if _, err := asked(b.keeper, partly); err != nil {
			t.Fatal(err)
		}
		// One of two lines: what was left over for it is in use now.
		b.lacks("monday", plan.InUse{Session: "tuesday", Rooms: []string{"mix"}, Cords: 1}, "1 cord is in use by tuesday (room mix)")
		// Made anew beside a whole session it is still set up in part.
		b.recall("encore")
		if _, err := asked(b.keeper, keep.Act{Do: keep.Plugged, A: jackOf("main/t4"), B: jackOf("main/b4")}); err != nil {
			t.Fatal(err)
		}
		if s := b.status(); !strings.Contains(owners(s), "main:true") {
			t.Errorf("left are %s", steps(s.Left))
		}
	})
}

// Where it is to come instead, a session ends the one that has what it lacks, and no other.
func TestInsteadOfWhoHasTheCords(t *testing.T) {
	room := strings.NewReplacer("bays:", "  booth: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}\nbays:\n  small: {pairs: 4, modes: isolated}",
		"ties:", "  - booth/out1-2 -> small/t1-2\n  - small/b1-2 -> booth/in1-2\nties:", "mix: [main]", "mix: [main], cabin: [small]").Replace(fourCords)
	sessions := map[string]string{"voice": "session: Voice\nconnect: [booth/out1 -> booth/in1]\n"}
	for called, src := range withFourCords {
		sessions[called] = src
	}
	instead := keep.Act{Do: keep.ToRecall, Session: "tuesday", Options: keep.RecallOptions{Instead: true}}
	for plugged := range 2 {
		onRoom(t, room, sessions, func(b *bench) {
			b.recall("voice")
			b.recall("monday")
			if plugged > 0 {
				b.allByHand()
			}
			_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "tuesday"})
			if says := "3 cords are in use by monday (room live); 1 cord is in use by voice (room cabin)"; err == nil || !strings.Contains(fmt.Sprint(err), says) {
				t.Errorf("%v does not say %q", err, says)
			}
			s, err := asked(b.keeper, instead)
			if err != nil {
				t.Fatal(err)
			}
			if got := inRooms(s); got != "live= mix=tuesday cabin=voice" {
				t.Errorf("the rooms are %s", got)
			}
			b.hearsAll(b.allByHand(), "tuesday", "voice")
			if s := b.status(); len(s.Known.Cords) != 3 {
				t.Errorf("in are %v", s.Known.Cords)
			}
			// It is one recall: undone, all is as it was.
			b.undo()
			b.hearsAll(b.allByHand(), "monday", "voice")
		})
	}
}

// Cords that are in and have to go where another session came instead are not kept by
// whoever comes after it, nor by a session that is set up in part.
func TestCordsThatWerePromisedAreNotKept(t *testing.T) {
	onRoom(t, fourCords, withFourCords, func(b *bench) {
		b.recall("monday")
		b.allByHand()
		instead := keep.Act{Do: keep.ToRecall, Session: "tuesday", Options: keep.RecallOptions{Instead: true}}
		if _, err := asked(b.keeper, instead); err != nil {
			t.Fatal(err)
		}
		b.lacks("monday", plan.InUse{Session: "tuesday", Rooms: []string{"mix"}, Cords: 2}, "2 cords are in use by tuesday (room mix)")
		for _, act := range []keep.Act{
			{Do: keep.ToRecall, Session: "encore", Options: keep.RecallOptions{LeaveCords: true}},
			{Do: keep.ToRecall, Session: "monday", Options: keep.RecallOptions{Partly: true}},
		} {
			if _, err := asked(b.keeper, act); err != nil {
				t.Fatal(err)
			}
			s, err := asked(b.keeper, keep.Act{Do: keep.WereDone, All: true})
			if err != nil || len(s.Known.Cords) != 4 || len(s.Left) > 0 {
				t.Errorf("with %s, %+v, in are %v, left %s, %v", act.Session, act.Options, s.Known.Cords, steps(s.Left), err)
			}
		}
		b.recall("encore") // which needs but two
		b.hearsAll(b.allByHand(), "encore", "tuesday")
		instead.Session = "monday"
		if _, err := asked(b.keeper, instead); err != nil {
			t.Fatal(err)
		}
		b.hearsAll(b.allByHand(), "monday")
	})
}

// What is in in a room that holds no session is in use as well, and the refusal says where.
func TestCordsInARoomWithoutASessionAreInUse(t *testing.T) {
	onRoom(t, fourCords, withFourCords, func(b *bench) {
		b.recall("monday")
		b.allByHand()
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: keep.RestName, Options: keep.RecallOptions{Room: "live"}}); err != nil {
			t.Fatal(err)
		}
		b.lacks("tuesday", plan.InUse{Rooms: []string{"live"}, Cords: 3}, "3 cords are in use in live, which holds no session")
		b.allByHand()
		b.recall("tuesday")
		b.hearsAll(b.allByHand(), "tuesday")
	})
}

// The patch that was in before anything was recalled is gone back to only where nobody has
// its cords by now.
func TestUndoWithoutTheCords(t *testing.T) {
	sessions := map[string]string{"solo": "session: Solo\nconnect: [stage/out4 -> stage/in4]\n", "tuesday": withFourCords["tuesday"]}
	onRoom(t, fourCords, sessions, func(b *bench) {
		for _, jack := range []string{"1", "2", "3"} {
			if _, err := asked(b.keeper, keep.Act{Do: keep.Plugged, A: jackOf("far/t" + jack), B: jackOf("far/b" + jack)}); err != nil {
				t.Fatal(err)
			}
		}
		b.recall("solo")
		b.allByHand()
		b.recall("tuesday")
		undo := keep.Act{Do: keep.ToUndo, Options: keep.RecallOptions{Room: "live"}}
		_, err := asked(b.keeper, undo)
		errorIs(t, err, keep.ErrConflict)
		if says := "2 cords are in use by tuesday (room mix)"; err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v does not say %q", err, says)
		}
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: keep.RestName, Options: keep.RecallOptions{Room: "mix"}}); err != nil {
			t.Fatal(err)
		}
		if _, err := asked(b.keeper, undo); err != nil {
			t.Error(err)
		}
		s, err := asked(b.keeper, keep.Act{Do: keep.WereDone, All: true})
		if err != nil || len(s.Known.Cords) != 3 || len(s.Left) > 0 {
			t.Errorf("in are %v, %v", s.Known.Cords, err)
		}
	})
}
