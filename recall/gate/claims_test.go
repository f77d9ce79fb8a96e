package gate_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bayhand/recall/border"
	"bayhand/recall/gate"
	"bayhand/recall/keep"
)

// told waits until a status has a problem with a code, and returns it.
func (b *building) told(g *gate.Gate, code string) keep.Problem {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.t.Context(), time.Minute)
	defer stop()
	events, err := g.Events(ctx)
	if err != nil {
		b.t.Fatal(err)
	}
	for s := range events {
		if i := slices.IndexFunc(s.Problems, func(p keep.Problem) bool { return p.Code == code }); i >= 0 {
			return s.Problems[i]
		}
	}
	b.t.Fatalf("never: %s", code)
	return keep.Problem{}
}

func (b *building) free() {
	b.until("all is free", func(t border.Table) bool { return len(t.Holds) == 0 })
}

// An undo claims again what was given back, for the session that it goes back to; and an
// undo of that gives it back.
func TestUndoClaimsAgain(t *testing.T) {
	b := newBuilding(t)
	north, south := b.host("north"), b.host("south")
	all := keep.Act{Do: keep.WereDone, All: true}
	b.do(north, recall("heron"), nil)
	b.do(north, all, nil)
	b.do(north, recall(keep.RestName), nil)
	b.do(north, all, nil)
	b.free()
	b.do(north, keep.Act{Do: keep.ToUndo}, nil)
	b.until("the tape is held again", func(t border.Table) bool {
		return t.Holds["tape"].Room == "live" && t.Holds["tape"].Session == "heron"
	})
	b.do(north, all, nil)
	b.do(north, keep.Act{Do: keep.ToUndo}, nil)
	b.do(north, all, nil)
	b.free()

	// What another room holds by then stays there, and it is said.
	b.do(south, recall("tern"), nil)
	_, err := north.Act(t.Context(), keep.Act{Do: keep.ToUndo})
	if !errors.Is(err, keep.ErrNotGiven) || !strings.Contains(err.Error(), "room mix holds tape for tern") {
		t.Errorf("north gets %v", err)
	}
	if view, _ := b.table.View(t.Context()); view.Table.Holds["tape"].Room != "mix" {
		t.Errorf("the table has %v", view.Table.Holds)
	}
}

// What is plugged against the table is told to both: the room that plugged, and the room
// that holds the line.
func TestBothRoomsAreTold(t *testing.T) {
	b := newBuilding(t)
	north, south := b.host("north"), b.host("south")
	b.do(north, recall("heron"), nil)
	b.do(south, keep.Act{Do: keep.Plugged, A: point(t, "core/b6"), B: point(t, "core/b3")}, nil)
	if got := b.told(south, "held-elsewhere"); !strings.HasPrefix(got.Message, "tape is plugged here, and room live holds it for heron") {
		t.Errorf("south says %q", got.Message)
	}
	got := b.told(north, "plugged-elsewhere")
	if want := "tape is held by room live for heron, and it is plugged at host south, which keeps room mix, as well"; !strings.HasPrefix(got.Message, want) {
		t.Errorf("north says %q", got.Message)
	}
	if got.Severity != "error" || got.Since.IsZero() {
		t.Errorf("north says %+v", got)
	}
}

// A way on which requests arrive and answers do not: a plan is given only if the table is
// seen to have its line, and a line that was claimed without a word is given back.
func TestOneWayCut(t *testing.T) {
	b := newBuilding(t)
	north, south := b.host("north"), b.host("south")
	table := b.table.(*cable)
	table.deaf(true)
	switch _, err := north.Act(t.Context(), recall("heron")); {
	case err == nil:
		if view, _ := b.table.View(t.Context()); view.Table.Holds["tape"].Room != "live" {
			t.Errorf("given, and the table has %v", view.Table.Holds)
		}
		b.do(north, recall(keep.RestName), nil)
		b.do(north, keep.Act{Do: keep.WereDone, All: true}, nil)
	case !errors.Is(err, keep.ErrNotGiven):
		t.Error(err)
	}
	b.free()
	table.deaf(false)
	b.do(south, recall("tern"), nil)
	b.do(south, keep.Act{Do: keep.WereDone, All: true}, nil)

	// And the other way round: what was held before it was cut off is kept, whatever is asked.
	table.pull(&border.Cut{Since: time.Now(), Why: "it does not answer"})
	if err := table.Announce(t.Context(), border.Announcement{Room: "live", Host: "north", At: time.Now()}); err != nil {
		t.Fatal(err)
	}
	b.soon("south knows that it is cut off", func() bool { return south.View().Cut != nil })
	b.do(south, recall(keep.RestName), nil)
	b.do(south, keep.Act{Do: keep.WereDone, All: true}, nil)
	b.do(south, recall("tern"), nil)
}

// Servers with a table of another format answer, and are not to be used: a host goes on
// with what it holds as where none answers.
func TestTableThatIsNotToBeUsed(t *testing.T) {
	b := newBuilding(t)
	table := b.table.(*cable)
	table.wrong = border.OtherFormat("the servers", 2)
	table.pull(&border.Cut{Since: time.Now(), Why: table.wrong.Error()})
	south := b.host("south")
	b.do(south, recall("gull"), nil)
	b.do(south, recall("tern"), keep.ErrNotGiven)
	if got := b.told(south, "house-cut"); !strings.Contains(got.Message, "the table in the servers has format 2") {
		t.Errorf("south says %q", got.Message)
	}
}

// People at two hosts recall and give up at once. Each is answered, nobody gets what
// another has, and when all is out the table is empty.
func TestManyAtOnce(t *testing.T) {
	b := newBuilding(t)
	hosts := map[string]*gate.Gate{"heron": b.host("north"), "tern": b.host("south")}
	var all sync.WaitGroup
	for session, g := range hosts {
		for range 2 {
			all.Go(func() {
				for _, called := range []string{session, keep.RestName, session} {
					if _, err := g.Act(t.Context(), recall(called)); err != nil && !errors.Is(err, keep.ErrNotGiven) && !errors.Is(err, keep.ErrConflict) {
						t.Errorf("%s: %v", called, err)
					}
				}
			})
		}
	}
	all.Wait()
	for _, g := range hosts {
		b.do(g, recall(keep.RestName), nil)
		b.do(g, keep.Act{Do: keep.WereDone, All: true}, nil)
	}
	b.free()
}

// failing marks the context of an act to which the table does not answer.
type failing struct{}

// failsAt is a table that answers all but an act so marked.
type failsAt struct{ border.Border }

func (f failsAt) View(ctx context.Context) (border.View, error) {
	view, err := f.Border.View(ctx)
	if ctx.Value(failing{}) != nil && err == nil {
		view.Cut = &border.Cut{Since: time.Now(), Why: "no answer"}
		return view, border.ErrUnreached
	}
	return view, err
}

// A refusal says that the table did not answer, though it is reached again by then.
func TestRefusalOfAMomentWithoutTheTable(t *testing.T) {
	b := newBuilding(t)
	b.table = failsAt{b.table}
	var north *gate.Gate
	b.planning = func() { // the keeper's plan, after the table was asked
		if err := b.table.Announce(t.Context(), border.Announcement{Room: "mix", Host: "south", At: time.Now()}); err != nil {
			t.Error(err)
		}
		b.soon("the table is reached again", func() bool { return north.View().Cut == nil })
	}
	north = b.host("north")
	b.entered("north")
	_, err := north.Act(context.WithValue(t.Context(), failing{}, true), recall("heron"))
	var not *keep.NotGivenError
	if !errors.As(err, &not) || !strings.Contains(not.Shared, "The table of the lines that rooms share is not reached since") {
		t.Errorf("heron: %v", err)
	}
	b.do(north, recall("heron"), nil)
}
