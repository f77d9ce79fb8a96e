package gate_test

import (
	"testing"
	"time"

	"bayhand/recall/border"
	"bayhand/recall/keep"
)

// A line that a person took away from a room is claimed again by who plugs it anew, once what
// was in it is out: not before, and also where the room had it back in between.
func TestALineThatWasTakenAwayIsPluggedAnew(t *testing.T) {
	for _, c := range []struct {
		what string
		back bool // it is recalled and given back in between
	}{{"unplugged", false}, {"recalled and given back", true}} {
		t.Run(c.what, func(t *testing.T) {
			b := newBuilding(t)
			north := b.host("north")
			plug := keep.Act{Do: keep.Plugged, A: point(t, "core/t5"), B: point(t, "core/t1")}
			claimed := func(t border.Table) bool { return t.Holds["tape"].Room == "live" }
			b.do(north, plug, nil)
			b.until("the tape is claimed", claimed)
			view, err := b.table.View(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if _, err := b.table.Act(t.Context(), border.Act{Do: border.ToTakeAway, Room: "live", Number: view.Table.Rooms["live"].Number + 1,
				Places: []border.Place{"tape"}, By: "Ada", Mark: "1", At: time.Now()}); err != nil {
				t.Fatal(err)
			}
			b.told(north, "taken-away")
			if view, _ := b.table.View(t.Context()); claimed(view.Table) {
				t.Fatal("it is claimed again while the cord is in that was in when it was taken away")
			}
			if c.back {
				all := keep.Act{Do: keep.WereDone, All: true}
				b.do(north, recall("heron"), nil)
				b.until("the tape is claimed for heron", claimed)
				b.do(north, all, nil)
				b.do(north, recall(keep.RestName), nil)
				b.do(north, all, nil)
			} else {
				b.do(north, keep.Act{Do: keep.Pulled, A: point(t, "core/t5")}, nil)
			}
			b.free()
			b.untilQuiet(north)
			b.do(north, plug, nil)
			b.until("the tape is claimed again", claimed)
		})
	}
}

// untilQuiet waits until a host says nothing of lines that were taken away.
func (b *building) untilQuiet(g interface{ Problems() []keep.Problem }) {
	b.t.Helper()
	for len(g.Problems()) > 0 {
		select {
		case <-b.t.Context().Done():
			b.t.Fatalf("it still says %v", g.Problems())
		case <-time.After(time.Millisecond):
		}
	}
}
