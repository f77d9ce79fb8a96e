package keep_test

import (
	"slices"
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// Somebody takes what a session in another room was promised. Who recalls a session where
// it is now is told to take others that will do, and to give it back; where there are no
// others, who it was promised to.
func TestOthersForWhatIsOwed(t *testing.T) {
	sessions := map[string]string{
		"monday":    "session: Monday\nconnect: [stage/out1 -> stage/in1]\n",
		"wednesday": "session: Wednesday\nconnect: [desk/out1 -> desk/in1]\n",
	}
	for _, c := range []struct {
		stock string
		want  string // what is plugged by both sessions, or why not
	}{
		{"{60 cm: 1, 90 cm: 1}", "60 cm"}, // what is in is the longer one then
		{"{60 cm: 1}", "1 cord is in use by monday (room live)"},
	} {
		onRoom(t, twoRooms+"cords: {stock: "+c.stock+"}\n", sessions, func(b *bench) {
			b.recall("monday")
			b.takes("t1", "b1")
			s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "wednesday"})
			if got := plugged(s, err); !strings.Contains(got, c.want) {
				t.Errorf("of %s: %s, want %s", c.stock, got, c.want)
			}
			if err == nil {
				b.hearsAll(b.allByHand(), "monday", "wednesday")
			}
		})
	}
}

func TestOtherDummiesForThoseThatAreOwed(t *testing.T) {
	sessions := map[string]string{
		"concert": "session: Concert\nsilent: [stage/in1]\n",
		"mixdown": "session: Mixdown\nsilent: [desk/in1]\n",
	}
	for stock, want := range map[string]string{
		"dummies: 1\ncords: {stock: {90 cm: 1}}\n": "plugs 90 cm", // a cord that hangs does it too
		"dummies: 1\ncords: {stock: {90 cm: 0}}\n": "1 dummy is in use by concert (room live)",
	} {
		onRoom(t, strings.ReplaceAll(twoRooms, "isolated", "normal")+stock, sessions, func(b *bench) {
			b.recall("concert")
			b.takes("b1")
			s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "mixdown"})
			if got := plugged(s, err); !strings.Contains("plugs "+got, want) {
				t.Errorf("of %s: %s, want %s", stock, got, want)
			}
		})
	}
}

// takes is what a hand plugs in the bay main, unasked.
func (b *bench) takes(jacks ...string) {
	b.t.Helper()
	act := keep.Act{Do: keep.Plugged, A: name.Point{Owner: "main", Stem: jacks[0][:1], Number: 1}}
	if len(jacks) > 1 {
		act.B = name.Point{Owner: "main", Stem: jacks[1][:1], Number: 1}
	}
	if _, err := b.keeper.Act(ctx, act); err != nil {
		b.t.Fatal(err)
	}
}

// plugged are the lengths of the cords that are to be plugged, or why none are.
func plugged(s keep.Status, err error) string {
	if err != nil {
		return err.Error()
	}
	var all []string
	for _, step := range s.Left {
		if step.Do == plan.Plug {
			all = append(all, step.Length.String())
		}
	}
	slices.Sort(all)
	return strings.Join(all, " ")
}
