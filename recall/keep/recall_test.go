package keep_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

var farOne = patch.Crosspoint{Output: name.At("far", "out", 1), Input: name.At("far", "in", 2)}

func TestRecallToTheEnd(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		s := b.status()
		b.wants(s, keep.Idle, "")
		s = b.recall("tern")
		b.wants(s, keep.Waiting, "3 plug t1 b1; 4 plug t2 b2; 5 switch grid/out2=in2")
		b.holds(cross(1, 1), farOne) // out2 waits for the cords
		if got := how(s, out(1)); got != "read in1" {
			t.Errorf("out1 is known as %q", got)
		}
		s = b.tick("3")
		b.wants(s, keep.Waiting, "4 plug t2 b2; 5 switch grid/out2=in2")
		s = b.tick("4")
		b.wants(s, keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2), farOne)
		for _, c := range s.Known.Cords {
			if c.How != keep.Told {
				t.Errorf("the cord %s - %s is known as %s", c.A, c.B, c.How)
			}
		}
		if p, ok := b.kept.of("tern"); !ok || len(p.Cords) != 2 || len(p.Crosspoints) != 3 {
			t.Errorf("kept %v", p)
		}
		if len(codes(s)) != 0 || s.Recall != 1 || s.Session != "tern" || len(s.Done) != 5 {
			t.Errorf("problems %v, recall %d of %s, %d done", codes(s), s.Recall, s.Session, len(s.Done))
		}
		lines := b.units["grid"].lines()
		if !slices.Equal(lines, []string{"open [] close [out1=in1]", "open [] close [out2=in2]"}) {
			t.Errorf("sent %q", lines)
		}
	})
}

// What is sent was in the journal before: the fake device looks there.
func TestWrittenBeforeSent(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		events, err := b.journal.Find(keep.Query{})
		if err != nil {
			t.Fatal(err)
		}
		var kinds []string
		for _, e := range events {
			if e.Matrix == "grid" || e.Matrix == "" {
				kinds = append(kinds, string(e.Kind))
			}
		}
		got := strings.Join(kinds, " ")
		if want := "read recalled sending sent read sending sent read given"; got != want {
			t.Errorf("history %q, want %q", got, want)
		}
	})
}

func TestFullJournalStopsEverything(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.status()
		b.set(func() { b.full = errors.New("no space left") })
		_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "plain"})
		errorIs(t, err, keep.ErrJournal)
		if lines := b.units["grid"].lines(); len(lines) > 0 {
			t.Errorf("sent %q without a word in the journal", lines)
		}
		_, err = asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("t5"), B: jack("b5")})
		errorIs(t, err, keep.ErrJournal)
		if s := b.status(); len(s.Known.Cords) != 0 || !slices.Contains(codes(s), "journal") {
			t.Errorf("cords %v, problems %v", s.Known.Cords, codes(s))
		}
		b.set(func() { b.full = nil })
		b.pass(time.Minute)
		b.wants(b.recall("plain"), keep.Given, "")
	})
}

func TestUnknownSession(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "tren"})
		errorIs(t, err, keep.ErrUnknownSession)
		if !strings.Contains(err.Error(), "there are heron, plain, tern") {
			t.Errorf("says %q", err)
		}
		_, err = asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "tern", Options: keep.RecallOptions{Prefer: "quick"}})
		errorIs(t, err, keep.ErrUsage)
		b.wants(b.status(), keep.Idle, "")
	})
}

func TestNotGivenMovesNothing(t *testing.T) {
	onBench(t, func(b *bench) {
		b.planner.missing["heron"] = "no free tie"
		b.start()
		b.recall("plain")
		s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "heron"})
		errorIs(t, err, keep.ErrNotGiven)
		var not *keep.NotGivenError
		if !errors.As(err, &not) || len(not.Missing) != 1 || not.Missing[0].Because != "no free tie" {
			t.Errorf("says %v", err)
		}
		b.wants(s, keep.Given, "")
		if s.Session != "plain" {
			t.Errorf("keeps %s", s.Session)
		}
		b.holds(cross(1, 1), cross(2, 2))
	})
}

// A search that was stopped before it could tell says so: in the refusal, and in the status
// where the session is recalled partly all the same.
func TestStoppedSearch(t *testing.T) {
	onBench(t, func(b *bench) {
		config := b.config()
		config.Plan = func(ctx context.Context, ask plan.Request) (*plan.Plan, error) {
			p, err := b.planner.plan(ctx, ask)
			if err == nil && ask.Session != nil {
				p.Given, p.Stopped, p.Missing, p.Target, p.Steps = false, true, []plan.Missing{}, plan.Target(ask.From), []plan.Step{}
			}
			return p, err
		}
		b.startWith(config)
		_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "plain"})
		if want := "the search stopped before a plan for plain was found"; err == nil || err.Error() != want {
			t.Errorf("%v; it should be %q", err, want)
		}
		s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "plain", Options: keep.RecallOptions{Partly: true}})
		if want := "The search stopped before a plan for plain was found."; err != nil || len(s.Problems) == 0 || s.Problems[0].Message != want {
			t.Errorf("%+v, %v; it should be %q", s.Problems, err, want)
		}
		longer := keep.Act{Do: keep.ToRecall, Session: "plain", Options: keep.RecallOptions{Partly: true, Effort: 4 * plan.DefaultEffort}}
		if diff := cmp.Diff([]keep.Act{longer}, s.Problems[0].Remedies); diff != "" {
			t.Errorf("what answers the problem: %s", diff)
		}
		if _, err := asked(b.keeper, longer); err != nil {
			t.Fatal(err)
		}
		if last := b.planner.asks[len(b.planner.asks)-1]; last.Effort != longer.Options.Effort {
			t.Errorf("the planner may take %d, not %d", last.Effort, longer.Options.Effort)
		}
	})
}

// An effort below zero bounds nothing; nothing is changed.
func TestEffortBelowZero(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "plain", Options: keep.RecallOptions{Effort: -1}})
		errorIs(t, err, keep.ErrUsage)
	})
}

// A recall that was given more effort and leads to the same patch is the same recall: one
// undo goes back to what was before both.
func TestEffortIsNoOtherRecall(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		for _, effort := range []int64{0, 4 * plan.DefaultEffort} {
			if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "plain", Options: keep.RecallOptions{Effort: effort}}); err != nil {
				t.Fatal(err)
			}
		}
		s, err := asked(b.keeper, keep.Act{Do: keep.ToUndo})
		if err != nil || s.Session != "" {
			t.Errorf("after one undo the room is in %q, %v", s.Session, err)
		}
	})
}

func TestPartlyIsNeverGiven(t *testing.T) {
	onBench(t, func(b *bench) {
		b.planner.missing["plain"] = "no free tie"
		b.start()
		s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "plain", Options: keep.RecallOptions{Partly: true}})
		if err != nil {
			t.Fatal(err)
		}
		b.wants(s, keep.Stuck, "")
		b.holds(cross(1, 1), cross(2, 2))
		if !slices.Equal(codes(s), []string{"not-given"}) {
			t.Errorf("problems %v", codes(s))
		}
		if b.kept.count() != 0 {
			t.Error("a patch that gives a part was kept")
		}
	})
}

func TestAnotherHalfway(t *testing.T) {
	onBench(t, func(b *bench) {
		b.units["grid"].slow = time.Second
		b.start()
		first := make(chan keep.Status)
		go func() {
			s, _ := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "tern"})
			first <- s
		}()
		b.pass(time.Second / 2) // out1 is on its way to in1
		s := b.recall("heron")
		b.wants(s, keep.Waiting, "3 plug t1 b3")
		b.holds(cross(1, 3))
		if s.Recall != 2 {
			t.Errorf("recall %d", s.Recall)
		}
		<-first
		b.wants(b.tick("3"), keep.Given, "")
	})
}

func TestStrip(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("tern")
		b.tick("3", "4")
		got, err := b.keeper.Act(ctx, keep.Act{Do: keep.ToPreview, Session: keep.RestName})
		if err != nil {
			t.Fatal(err)
		}
		b.wants(got.Status, keep.Given, "")
		if p := got.Plan; p == nil || p.Session != keep.RestName || len(p.Moves) != 2 {
			t.Errorf("plan %+v", p)
		}
		b.holds(cross(1, 1), cross(2, 2), farOne)
		if s := b.status(); s.Plan.Session != "tern" {
			t.Errorf("the status now has the plan of %s", s.Plan.Session)
		}
		s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: keep.RestName})
		if err != nil {
			t.Fatal(err)
		}
		if s.Session != keep.RestName || s.Phase != keep.Waiting {
			t.Errorf("%s of %s", s.Phase, s.Session)
		}
		s, err = asked(b.keeper, keep.Act{Do: keep.WereDone, All: true})
		if err != nil {
			t.Fatal(err)
		}
		b.wants(s, keep.Given, "")
		b.holds()
	})
}

func TestPreviousInside(t *testing.T) {
	onBench(t, func(b *bench) {
		passes := b.files.Sessions["tern"]
		passes.Inside = append(passes.Inside, pass())
		b.start()
		b.recall("tern") // not given: the cords are not in
		b.recall("plain")
		if last := b.planner.asks[len(b.planner.asks)-1]; !slices.Equal(last.PreviousInside, passes.Inside) {
			t.Errorf("asked with %v", last.PreviousInside)
		}
		if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "heron", Options: keep.RecallOptions{Inside: true}}); err != nil {
			t.Fatal(err)
		}
		if last := b.planner.asks[len(b.planner.asks)-1]; len(last.PreviousInside) != 0 {
			t.Errorf("asked with %v after the software was changed over", last.PreviousInside)
		}
	})
}

func TestEventsGiveTheNewest(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		events, err := b.keeper.Events(ctx)
		if err != nil {
			t.Fatal(err)
		}
		b.recall("tern")
		b.tick("3", "4")
		s := b.status()
		if got := <-events; got.Seq != s.Seq || got.Phase != keep.Given {
			t.Errorf("got %d %s, want %d", got.Seq, got.Phase, s.Seq)
		}
		b.end()
		if _, open := <-events; open {
			t.Error("the stream goes on after the keeper")
		}
		_, err = b.keeper.Status(ctx)
		errorIs(t, err, keep.ErrStopped)
		_, err = asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "tern"})
		errorIs(t, err, keep.ErrStopped)
	})
}
