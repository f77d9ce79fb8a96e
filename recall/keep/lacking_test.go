package keep_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/recall/keep"
)

// A session that is not possible since another room has what it lacks is refused with
// that, the session and its room, as a sentence and as data.
func TestWhatIsLackingIsInUse(t *testing.T) {
	core := strings.NewReplacer("bays:", `  unit: {inputs: {in1-2: pro-line}}
bays:
  core: {pairs: 4, modes: isolated, at: {x: 9 m, y: 0 cm}}
  store: {pairs: 4, modes: isolated, at: {x: 30 m, y: 0 cm}}`,
		"pairs: 8,", "pairs: 8, at: {x: 0 cm, y: 0 cm},",
		"ties: [main/b8 = far/t8]", "  - store/b1-2 -> unit/in1-2\nties: [main/b8 = core/t1, far/b8 = core/t2, core/b4 = store/t4]\ncords: {stock: {90 cm: 20}}").Replace(twoRooms)
	for _, c := range []struct {
		name, room, concert, mixdown string
		want                         plan.InUse
		says                         []string
	}{
		{"cords", twoRooms + "cords: {stock: {90 cm: 2}}\n", "stage/out1-2 -> stage/in1-2", "desk/out1 -> desk/in2",
			plan.InUse{Cords: 2}, []string{"it takes 1 cord, and none of 2 is left; it would be possible with 1 more cord", "; 2 cords are in use by concert (room live)"}},
		{"one cord of two", twoRooms + "cords: {stock: {90 cm: 2}}\n", "stage/out1 -> stage/in1", "desk/out1-2 -> desk/in1-2",
			plan.InUse{Cords: 1}, []string{"they take 2 cords, and 1 of 2 is left; it would be possible with 1 more cord", "; 1 cord is in use by concert (room live)"}},
		{"cords for two lines", twoRooms + "cords: {stock: {90 cm: 2}}\n", "stage/out1-2 -> stage/in1-2", "desk/out1-2 -> desk/in1-2",
			plan.InUse{Cords: 2}, []string{"desk/out1-2 -> desk/in1-2: each takes 1 cord, and none of 2 is left; both would be possible with 2 more cords; 2 cords are in use by concert (room live)"}},
		{"dummies", strings.ReplaceAll(twoRooms, "isolated", "normal") + "dummies: 1\ncords: {stock: {90 cm: 0}}\n", "", "",
			plan.InUse{Dummies: 1}, []string{"; 1 dummy is in use by concert (room live)"}},
		{"a line between bays in no room", core, "stage/out1 -> unit/in1", "desk/out1 -> unit/in2",
			plan.InUse{}, []string{"core/b4"}},
	} {
		sessions := map[string]string{"concert": "session: Concert\nconnect: [" + c.concert + "]\n", "mixdown": "session: Mixdown\nconnect: [" + c.mixdown + "]\n"}
		if c.concert == "" {
			sessions = map[string]string{"concert": "session: Concert\nsilent: [stage/in1]\n", "mixdown": "session: Mixdown\nsilent: [desk/in1]\n"}
		}
		onRoom(t, c.room, sessions, func(b *bench) {
			b.recall("concert")
			b.allByHand()
			_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "mixdown"})
			var not *keep.NotGivenError
			if !errors.As(err, &not) || len(not.Missing) == 0 || len(not.Missing[0].InUse) != 1 {
				t.Errorf("%s: %v", c.name, err)
				return
			}
			got := not.Missing[0].InUse[0]
			if got.Session != "concert" || fmt.Sprint(got.Rooms) != "[live]" || got.Cords != c.want.Cords || got.Dummies != c.want.Dummies {
				t.Errorf("%s: in use is %+v", c.name, got)
			}
			for _, says := range append(c.says, "in use by concert (room live)") {
				if !strings.Contains(err.Error(), says) {
					t.Errorf("%s: %v does not say %q", c.name, err, says)
				}
			}
			if n := strings.Count(err.Error(), "in use by"); n != 1 {
				t.Errorf("%s: who has it is said %d times: %v", c.name, n, err)
			}
			// A look ahead says the same.
			a, err := b.keeper.Act(ctx, keep.Act{Do: keep.ToPreview, Session: "mixdown"})
			if err != nil || a.Plan.Given || len(a.Plan.Missing) == 0 || len(a.Plan.Missing[0].InUse) != 1 {
				t.Errorf("%s: the preview is %+v, %v", c.name, a.Plan, err)
			}
			// Where the other session has gone it is given.
			b.recall("rest")
			b.allByHand()
			b.recall("mixdown")
			b.hearsAll(b.allByHand(), "mixdown")
		})
	}
}

// A plan made anew says it as well, of the session that was recalled last and of another.
func TestReplansSayWhoHasWhatIsLacking(t *testing.T) {
	for _, order := range [][]string{{"mixdown", "concert"}, {"concert", "mixdown"}} {
		onRoom(t, twoRooms+"cords: {stock: {90 cm: 2}}\n", map[string]string{
			"concert": "session: Concert\nconnect: [stage/out1 -> stage/in1]\n",
			"mixdown": "session: Mixdown\nconnect: [desk/out1 -> desk/in2]\n",
			"more":    "session: Mixdown\nconnect: [desk/out1-2 -> desk/in1-2]\n",
		}, func(b *bench) {
			for _, session := range order {
				b.recall(session)
				b.allByHand()
			}
			more := *b.files.Sessions["more"]
			more.Name = "mixdown"
			b.set(func() {
				b.files.Sessions = map[string]*session.Session{"concert": b.files.Sessions["concert"], "mixdown": &more}
			})
			b.keeper.Look()
			b.pass(time.Second)
			code := map[bool]string{true: "not-given", false: "room-not-given"}[order[1] == "mixdown"]
			if got := problem(b.status(), code); !strings.HasSuffix(got, "; 1 cord is in use by concert (room live)") {
				t.Errorf("%v: %q of %v", order, got, b.status().Problems)
			}
		})
	}
}
