package border_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/anishathalye/porcupine"

	"bayhand/recall/border"
	"bayhand/recall/border/histories"
)

// twice is a border on which the answer of each act is lost, and which asks again
// after something else happened.
type twice struct {
	border.Border
	meanwhile func()
}

func (b twice) Act(ctx context.Context, a border.Act) (border.View, error) {
	_, _ = b.Border.Act(ctx, a)
	b.meanwhile()
	return b.Border.Act(ctx, a)
}

// A claim is carried out, seen by another room, taken away and then told as lost: that
// can happen at a table.
func TestLostClaimsAreExplained(t *testing.T) {
	for _, places := range [][]border.Place{{"tie 1"}, {"tie 1", "tie 2"}} {
		m := memory(t, &disk{})
		r := histories.New("tie 1", "tie 2")
		b := twice{m, func() {
			if _, err := r.Act(t.Context(), 1, m, claim("live", 1, "tie 1")); !errors.Is(err, border.ErrHeld) {
				t.Error(err)
			}
			taking := border.Act{Do: border.ToTakeAway, Room: "mix", By: "Ada", Mark: "1", Places: []border.Place{"tie 1"}}
			if _, err := r.Act(t.Context(), 2, m, taking); err != nil {
				t.Error(err)
			}
		}}
		if _, err := r.Act(t.Context(), 0, b, claim("mix", 1, places...)); !errors.Is(err, border.ErrLost) {
			t.Error(err)
		}
		if got := r.Check(10 * time.Second); got != porcupine.Ok {
			t.Errorf("of %d places: %s", len(places), got)
		}
	}
}

// A person's act whose answer was lost is carried out once, and one that is carried out
// twice is found.
func TestPersonsActsAreCarriedOutOnce(t *testing.T) {
	for _, marked := range []bool{true, false} {
		m := memory(t, &disk{})
		r := histories.New("tie 1")
		do := func(client int, b border.Border, a border.Act) {
			t.Helper()
			if _, err := r.Act(t.Context(), client, b, a); err != nil {
				t.Error(err)
			}
		}
		do(0, m, claim("mix", 1, "tie 1"))
		var second border.Border = twice{m, func() {
			do(1, m, claim("live", 1, "tie 1"))
			do(1, m, release("live", 2, "tie 1"))
			do(0, m, claim("mix", 2, "tie 1"))
		}}
		if !marked {
			second = twice{remarked{m}, second.(twice).meanwhile}
		}
		do(2, second, border.Act{Do: border.ToTakeAway, Room: "mix", By: "Ada", Mark: "1", Places: []border.Place{"tie 1"}})
		_, _ = r.Look(t.Context(), 0, m)
		want := map[bool]porcupine.CheckResult{true: porcupine.Ok, false: porcupine.Illegal}[marked]
		if got := r.Check(10 * time.Second); got != want {
			t.Errorf("with a mark %t: %s", marked, got)
		}
	}
}

// remarked is a border that gives each request a mark of its own.
type remarked struct{ border.Border }

func (b remarked) Act(ctx context.Context, a border.Act) (border.View, error) {
	a.Mark = border.NewMark()
	return b.Border.Act(ctx, a)
}
