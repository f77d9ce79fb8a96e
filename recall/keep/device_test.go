package keep_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

func TestRefusal(t *testing.T) {
	onBench(t, func(b *bench) {
		grid := b.units["grid"]
		grid.refuses = errors.New("front panel locked")
		b.start()
		s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "tern"})
		errorIs(t, err, keep.ErrRefused)
		b.wants(s, keep.Waiting, "2 switch grid/out1=in1; 3 plug t1 b1; 4 plug t2 b2; 5 switch grid/out2=in2")
		b.holds(farOne) // the other matrix went on
		if !strings.Contains(problem(s, "refused"), "front panel locked") || how(s, out(1)) != "read " {
			t.Errorf("problem %q, out1 is %q", problem(s, "refused"), how(s, out(1)))
		}
		tries := len(grid.lines())
		b.pass(time.Minute) // it is not asked again and again
		if got := len(grid.lines()); got != tries {
			t.Errorf("sent %d times more", got-tries)
		}
		grid.change(func(u *unit) { u.refuses = nil })
		b.recall("tern")
		b.tick("1", "2", "3")
		if s := b.status(); s.Phase != keep.Given {
			b.wants(s, keep.Given, "")
		}
	})
}

func TestGoneMidPushAndBack(t *testing.T) {
	onBench(t, func(b *bench) {
		grid := b.units["grid"]
		grid.pulledAfter = 1
		b.start()
		s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "tern"})
		errorIs(t, err, keep.ErrNoAnswer)
		b.wants(s, keep.Waiting, "2 switch grid/out1=in1; 3 plug t1 b1; 4 plug t2 b2; 5 switch grid/out2=in2")
		if got := how(s, out(1)); !strings.HasPrefix(got, "not-known") {
			t.Errorf("out1 of a device that went while it was switched is %q", got)
		}
		if got := how(s, out(3)); !strings.HasPrefix(got, "assumed") {
			t.Errorf("out3 of a device that went is %q", got)
		}
		b.restart(-1)
		if got := how(b.status(), out(1)); !strings.HasPrefix(got, "not-known") {
			t.Errorf("after a restart, and nothing heard yet, out1 is %q", got)
		}
		if m := s.Matrices[0]; m.Answers || m.Problem == "" {
			t.Errorf("grid: %+v", m)
		}
		b.refused(keep.Act{Do: keep.WereDone, IDs: []string{"3", "4"}}, keep.ErrNoAnswer)
		grid.change(func(u *unit) { u.gone = false })
		b.pass(time.Minute)
		s = b.status()
		b.wants(s, keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2), farOne)
		if len(codes(s)) != 0 {
			t.Errorf("problems %v", codes(s))
		}
	})
}

// A device that comes back after it lost everything is brought back, whatever
// the studio says of matrices that somebody turns.
func TestBackEmpty(t *testing.T) {
	for _, drift := range []studio.Drift{studio.Restore, studio.Keep} {
		onBench(t, func(b *bench) {
			b.studio.Drift = drift
			b.start()
			b.recall("plain")
			grid := b.units["grid"]
			grid.change(func(u *unit) { u.gone = true })
			b.pass(time.Minute)
			s := b.status()
			b.wants(s, keep.Stuck, "")
			if how(s, out(1)) != "assumed in1" || !slices.Contains(codes(s), "no-answer") {
				t.Errorf("out1 is %q, problems %v", how(s, out(1)), codes(s))
			}
			grid.change(func(u *unit) { u.gone = false; clear(u.inputs) })
			b.pass(time.Minute)
			b.wants(b.status(), keep.Given, "")
			b.holds(cross(1, 1), cross(2, 2))
		})
	}
}

func TestRetriesLessAndLess(t *testing.T) {
	onBench(t, func(b *bench) {
		b.units["grid"].gone = true
		tries := []time.Duration{}
		config := b.config()
		began := time.Now()
		open := config.Open
		config.Open = recordTries(open, "grid", func() { tries = append(tries, time.Since(began)) })
		b.startWith(config)
		b.pass(100 * time.Second)
		b.end()
		want := []time.Duration{0, 1, 3, 7, 15, 31, 61, 91}
		for i := range want {
			want[i] *= time.Second
		}
		if !slices.Equal(tries, want) {
			t.Errorf("tried at %v, want %v", tries, want)
		}
	})
}

func TestReadBackDiffers(t *testing.T) {
	onBench(t, func(b *bench) {
		grid := b.units["grid"]
		grid.stuck[out(1)] = true
		b.start()
		s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "plain"})
		errorIs(t, err, keep.ErrDiffers)
		if errors.Is(err, keep.ErrNoAnswer) {
			t.Error("it did answer")
		}
		if s.Phase != keep.Stuck || how(s, out(1)) != "read " {
			t.Errorf("phase %s, out1 %q", s.Phase, how(s, out(1)))
		}
		if got := problem(s, "differs"); got != "grid/out1 was set to in1; the device reports off" {
			t.Errorf("says %q", got)
		}
		b.pass(time.Minute)
		if s := b.status(); s.Phase != keep.Stuck || len(grid.lines()) != 2 {
			t.Errorf("phase %s after sending %q", s.Phase, grid.lines())
		}
		// Somebody turns it by hand to what is wanted: that is seen.
		grid.change(func(u *unit) { clear(u.stuck) })
		grid.turn(out(1), in(1))
		b.pass(time.Minute)
		b.wants(b.status(), keep.Given, "")
	})
}

func TestDriftRestored(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		b.units["grid"].turn(out(3), in(4))
		b.pass(time.Minute)
		s := b.status()
		b.wants(s, keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2))
		if !strings.Contains(problem(s, "drift"), "in4 -> out3") {
			t.Errorf("says %q", problem(s, "drift"))
		}
		if s := b.recall("plain"); problem(s, "drift") != "" {
			t.Error("the next recall still speaks of it")
		}
	})
}

func TestDriftKept(t *testing.T) {
	onBench(t, func(b *bench) {
		b.studio.Drift = studio.Keep
		b.start()
		b.recall("plain")
		grid := b.units["grid"]
		grid.forget()
		grid.turn(out(1), in(4))
		b.pass(time.Minute)
		s := b.status()
		b.wants(s, keep.Stuck, "")
		if how(s, out(1)) != "read in4" || len(grid.lines()) > 0 {
			t.Errorf("out1 is %q, sent %q", how(s, out(1)), grid.lines())
		}
		if got := problem(s, "drift"); got != "grid/out1 was changed at the device to in4; plain needs in1. Left alone (drift: keep)." {
			t.Errorf("says %q", got)
		}
		grid.turn(out(1), in(1))
		b.pass(time.Minute)
		b.wants(b.status(), keep.Given, "")
		if s := b.status(); len(codes(s)) > 0 {
			t.Errorf("problems %v", codes(s))
		}
	})
}

// What is turned while a person still has moves to make is always put back: the
// moves left were ordered for what was there.
func TestDriftOnTheWay(t *testing.T) {
	onBench(t, func(b *bench) {
		b.studio.Drift = studio.Keep
		b.start()
		b.recall("tern")
		b.units["grid"].turn(out(1), in(4))
		b.pass(time.Minute)
		b.holds(cross(1, 1), farOne)
		s := b.status()
		if s.Phase != keep.Waiting || !slices.Equal(ids(s), []string{"3", "4", "5"}) {
			t.Errorf("%s with %v left", s.Phase, ids(s))
		}
	})
}

func ids(s keep.Status) []string {
	var all []string
	for _, step := range s.Left {
		all = append(all, step.ID)
	}
	return all
}

// Two outputs that are one inside the device would be turned to and fro for
// ever.
func TestUnsteadyDeviceIsLeft(t *testing.T) {
	onBench(t, func(b *bench) {
		grid := b.units["grid"]
		grid.crossed[out(1)], grid.crossed[out(3)] = out(3), out(1)
		b.planner.targets["odd"] = patch.Patch{Crosspoints: []patch.Crosspoint{cross(1, 1), cross(3, 3)}}
		b.files.Sessions["odd"] = b.files.Sessions["plain"]
		odd := *b.files.Sessions["plain"]
		odd.Name, odd.Notes = "odd", "odd"
		b.files.Sessions["odd"] = &odd
		b.start()
		_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "odd"})
		if err != nil {
			errorIs(t, err, keep.ErrDiffers)
		}
		b.pass(10 * time.Minute)
		s := b.status()
		if s.Phase == keep.Given {
			t.Error("given, where out1 and out3 are one")
		}
		if n := len(grid.lines()); n > 20 {
			t.Errorf("sent %d times", n)
		}
	})
}

func TestDeafIsNeverKnown(t *testing.T) {
	onBench(t, func(b *bench) {
		grid := b.units["grid"]
		grid.deaf = true
		grid.turn(out(4), in(4)) // nobody knows
		b.start()
		s := b.status()
		if got := how(s, out(1)); got != "assumed " {
			t.Errorf("out1 is %q", got)
		}
		s = b.recall("plain")
		b.wants(s, keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2))
		for n := 1; n <= 4; n++ {
			if got := how(s, out(n)); !strings.HasPrefix(got, "sent") {
				t.Errorf("out%d is %q", n, got)
			}
		}
		for _, d := range s.Done {
			if d.By == "grid" && d.How != keep.Sent {
				t.Errorf("step %s is done as %s", d.ID, d.How)
			}
		}
		grid.forget()
		b.restart(-1)
		b.pass(time.Second)
		s = b.status()
		if got := how(s, out(1)); got != "sent in1" || len(grid.lines()) == 0 {
			t.Errorf("after a restart out1 is %q, and %q was sent", got, grid.lines())
		}
		b.wants(s, keep.Given, "")
		// Its power was off and on again, which nobody can know: a recall sends it all.
		grid.change(func(u *unit) { clear(u.inputs) })
		b.recall("plain")
		b.holds(cross(1, 1), cross(2, 2))
		grid.forget()
		b.pass(10 * time.Minute)
		if lines := grid.lines(); len(lines) > 0 {
			t.Errorf("sent again for nothing: %q", lines)
		}
	})
}

func TestDeafGoneAndBackIsSentAgain(t *testing.T) {
	onBench(t, func(b *bench) {
		grid := b.units["grid"]
		grid.deaf = true
		b.start()
		b.recall("plain")
		grid.change(func(u *unit) { u.gone = true })
		_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "heron"})
		errorIs(t, err, keep.ErrNoAnswer)
		if got := how(b.status(), out(1)); got != "assumed in1" { // what it starts from is sent first
			t.Errorf("out1 of a device that went is %q", got)
		}
		grid.change(func(u *unit) { u.gone = false; clear(u.inputs); u.set(out(4), in(2)) })
		b.pass(time.Minute)
		b.holds(cross(1, 3), cross(2, 2)) // out2 goes off after the cord is in
		s := b.status()
		b.tick(ids(s)[0])
		b.holds(cross(1, 3))
		b.wants(b.status(), keep.Given, "")
	})
}

func TestReadHasItsTime(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		s := b.recall("plain")
		since := fact(s, out(1)).Since
		b.pass(time.Minute) // polls that find nothing new
		if got := fact(b.status(), out(1)).Since; !got.Equal(since) {
			t.Errorf("known since %v, then since %v", since, got)
		}
		writes := b.journal.Writes()
		b.pass(time.Hour)
		if got := b.journal.Writes(); got != writes {
			t.Errorf("%d writes though nothing happened", got-writes)
		}
	})
}

func fact(s keep.Status, output name.Point) keep.Fact {
	for _, c := range s.Known.Crosspoints {
		if c.Output == output {
			return c.Fact
		}
	}
	return keep.Fact{}
}

// What a person says of the bay is no matter of a device that is away, unless it
// had something to do then.
func TestAwayDeviceAndTheBay(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("tern")
		b.units["far"].change(func(u *unit) { u.gone = true })
		b.pass(time.Minute)
		if _, err := asked(b.keeper, keep.Act{Do: keep.WereDone, IDs: []string{"3"}}); err != nil {
			t.Errorf("tick: %v", err)
		}
		b.units["grid"].change(func(u *unit) { u.gone = true })
		b.pass(time.Minute)
		b.refused(keep.Act{Do: keep.WereDone, IDs: []string{"4"}}, keep.ErrNoAnswer) // grid/out2 is due
	})
}

// A room that is kept for long does not fill up with what was put back.
func TestLongDrift(t *testing.T) {
	onBench(t, func(b *bench) {
		config := b.config()
		config.Poll = time.Minute
		b.startWith(config)
		b.recall("tern")
		b.tick("3", "4")
		for n := range 80 {
			b.units["grid"].turn(out(3), in(n%4+1))
			b.pass(time.Minute)
		}
		s := b.status()
		b.wants(s, keep.Given, "")
		if len(s.Done) > 60 || len(s.Problems) > 12 {
			t.Errorf("%d steps done and %d problems", len(s.Done), len(s.Problems))
		}
		b.untick("3")
	})
}

// One output of which a device says what is no input is not known, and is switched to
// where it belongs; the device answers all the same.
func TestAnUnclearOutputIsSwitched(t *testing.T) {
	onBench(t, func(b *bench) {
		grid := b.units["grid"]
		b.start()
		b.recall("plain")
		grid.change(func(u *unit) {
			u.unclear = map[name.Point]bool{out(2): true}
			u.stuck = map[name.Point]bool{out(2): true}
		})
		b.pass(time.Minute)
		s := b.status()
		if got := how(s, out(2)); !strings.HasPrefix(got, "not-known") || !s.Matrices[0].Answers || s.Phase == keep.Given {
			t.Errorf("out2 is %q, the device answers: %v, %s", got, s.Matrices[0].Answers, s.Phase)
		}
		grid.change(func(u *unit) { u.stuck = nil })
		b.recall("plain")
		b.wants(b.status(), keep.Given, "")
		if got := how(b.status(), out(2)); got != "read in2" {
			t.Errorf("out2 is %q", got)
		}
	})
}
