package keep_test

import (
	"context"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/recall/keep"
)

// slowly is a planner that makes each plan when it is let, or gives up with its context.
type slowly struct {
	asks chan plan.Request
	let  chan struct{}
}

func (s *slowly) plan(ctx context.Context, ask plan.Request) (*plan.Plan, error) {
	s.asks <- ask
	select {
	case <-s.let:
		return planner.Make(ctx, ask)
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// onSlowRooms is two rooms whose planner makes a plan when it is let.
func onSlowRooms(t *testing.T, test func(b *bench, s *slowly)) {
	onTwoRooms(t, func(b *bench) {
		b.end()
		s := &slowly{make(chan plan.Request, 100), make(chan struct{})}
		config := b.config()
		config.Plan = s.plan
		b.startWith(config)
		test(b, s)
	})
}

// later asks for an act and gives the channel of its outcome.
func (b *bench) later(ctx context.Context, act keep.Act) <-chan error {
	done := make(chan error, 1)
	go func() {
		_, err := b.keeper.Act(ctx, act)
		done <- err
	}()
	synctest.Wait()
	return done
}

func recallOf(session string) keep.Act { return keep.Act{Do: keep.ToRecall, Session: session} }

func (b *bench) outcome(done <-chan error) error {
	b.t.Helper()
	synctest.Wait()
	select {
	case err := <-done:
		return err
	default:
		b.t.Fatal("not answered yet")
		return nil
	}
}

// While a plan is made everything else goes on, the status says what is planned, and
// nothing is changed before it is there.
func TestPlannedBesideTheLoop(t *testing.T) {
	onSlowRooms(t, func(b *bench, s *slowly) {
		concert := b.later(ctx, recallOf("concert"))
		b.pass(2 * time.Second)
		at := b.status()
		if got := problem(at, "planning"); !strings.Contains(got, "planning concert (room live) since ") || at.Session != "" {
			t.Errorf("%s is held, and said is %q", at.Session, got)
		}
		if err := b.keeper.Ping(ctx); err != nil {
			t.Error(err)
		}
		if _, err := asked(b.keeper, keep.Act{Do: keep.Plugged, A: jackOf("main/t1"), B: jackOf("main/b1")}); err != nil {
			t.Errorf("a cord elsewhere: %v", err)
		}
		s.let <- struct{}{}
		if err := b.outcome(concert); err != nil || b.status().Session != "concert" || len(s.asks) != 1 {
			t.Errorf("%v, then %s is held after %d questions", err, b.status().Session, len(s.asks))
		}
		if got := problem(b.status(), "planning"); got != "" {
			t.Errorf("still said is %q", got)
		}
	})
}

// Where something in its scope changes while it is planned it is planned anew, three
// times; then what is told there waits, and what is told elsewhere does not.
func TestPlannedAnewAndThenHeld(t *testing.T) {
	onSlowRooms(t, func(b *bench, s *slowly) {
		concert := b.later(ctx, recallOf("concert"))
		jacks := []string{"far/t5", "far/t6", "far/t7"}
		for _, j := range jacks {
			if _, err := asked(b.keeper, keep.Act{Do: keep.Faulty, A: jackOf(j)}); err != nil {
				t.Fatal(err)
			}
			s.let <- struct{}{}
			synctest.Wait()
		}
		if len(s.asks) != 4 {
			t.Errorf("the planner was asked %d times", len(s.asks))
		}
		held := b.later(ctx, keep.Act{Do: keep.Faulty, A: jackOf("far/b5")})
		other := b.later(ctx, keep.Act{Do: keep.Faulty, A: jackOf("main/t5")})
		if err := b.outcome(other); err != nil {
			t.Errorf("what is told elsewhere: %v", err)
		}
		if got := len(b.status().Tags); got != 4 {
			t.Errorf("%d jacks are tagged while one waits", got)
		}
		s.let <- struct{}{}
		synctest.Wait()
		if got := b.status(); got.Session != "concert" || len(got.Tags) != 5 {
			t.Errorf("%s is held, and %d jacks are tagged", got.Session, len(got.Tags))
		}
		s.let <- struct{}{} // the tag that waited asks for another plan
		if err := b.outcome(concert); err != nil {
			t.Error(err)
		}
		if err := b.outcome(held); err != nil || len(b.status().Tags) != 5 {
			t.Errorf("what waited: %v, %d tags", err, len(b.status().Tags))
		}
	})
}

// A recall that is being planned is given up by another in the same rooms, by an undo,
// and where who asked has gone; one in other rooms goes on beside it.
func TestPlanGivenUp(t *testing.T) {
	onSlowRooms(t, func(b *bench, s *slowly) {
		concert := b.later(ctx, recallOf("concert"))
		encore := b.later(ctx, recallOf("encore"))
		err := b.outcome(concert)
		errorIs(t, err, keep.ErrConflict)
		if err == nil || !strings.Contains(err.Error(), "concert was given up while it was being planned, since encore was recalled meanwhile") {
			t.Errorf("said is %v", err)
		}
		if err := b.outcome(b.later(ctx, keep.Act{Do: keep.ToUndo})); err != nil {
			t.Errorf("undone: %v", err)
		}
		errorIs(t, b.outcome(encore), keep.ErrConflict)
		gone, leave := context.WithCancel(ctx)
		third := b.later(gone, recallOf("concert"))
		leave()
		errorIs(t, b.outcome(third), context.Canceled)
		at := b.status()
		if at.Session != "" || at.Recall != 0 || problem(at, "planning") != "" {
			t.Errorf("%s is held, recall %d, %v", at.Session, at.Recall, codes(at))
		}
		mix := b.later(ctx, recallOf("mixdown"))
		live := b.later(ctx, recallOf("concert"))
		s.let <- struct{}{}
		synctest.Wait()
		s.let <- struct{}{}
		if a, c := b.outcome(mix), b.outcome(live); a != nil || c != nil {
			t.Errorf("side by side: %v, %v", a, c)
		}
		if got := inRooms(b.status()); got != "live=concert mix=mixdown" {
			t.Errorf("held are %s", got)
		}
	})
}

// Who ends while a plan is made has nothing half: the keeper that comes after holds what
// was held before.
func TestEndedWhilePlanning(t *testing.T) {
	onSlowRooms(t, func(b *bench, s *slowly) {
		concert := b.later(ctx, recallOf("concert"))
		b.end()
		errorIs(t, b.outcome(concert), keep.ErrStopped)
		config := b.config()
		config.Plan = planner.Make
		b.startWith(config)
		if at := b.status(); at.Session != "" || at.Recall != 0 || len(at.Left) > 0 {
			t.Errorf("%s is held, with %s left", at.Session, steps(at.Left))
		}
		b.recall("concert")
		b.hearsAll(b.allByHand(), "concert")
	})
}
