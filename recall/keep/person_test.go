package keep_test

import (
	"slices"
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

func TestTickInAnotherOrder(t *testing.T) {
	onBench(t, func(b *bench) {
		b.planner.targets["tern"] = patch.Patch{Cords: []patch.Cord{cord("t1", "b1")}, Crosspoints: []patch.Crosspoint{cross(1, 1), cross(2, 2)}}
		b.start()
		b.recall("heron")
		b.tick("2") // t1 - b3
		s := b.recall("tern")
		b.wants(s, keep.Waiting, "2 pull t1 b3; 3 plug t1 b1; 4 switch grid/out2=in2")
		// The cord cannot go in before the other one is out.
		b.refused(keep.Act{Do: keep.WereDone, IDs: []string{"3"}}, keep.ErrConflict)
		b.wants(b.status(), keep.Waiting, "2 pull t1 b3; 3 plug t1 b1; 4 switch grid/out2=in2")
		s = b.tick("3", "2") // said in whatever order
		b.wants(s, keep.Given, "")
	})
}

// A mute that is passed over is planned again, and what was done already is not
// asked for twice.
func TestTickBeforeItsTime(t *testing.T) {
	onBench(t, func(b *bench) {
		b.planner.speakers = []name.Point{name.At("speakers", "in", 1)}
		b.start()
		s := b.recall("tern")
		b.wants(s, keep.Waiting, "3 mute in1; 4 plug t1 b1; 5 plug t2 b2; 6 switch grid/out2=in2; 7 unmute in1")
		s = b.tick("5")
		b.wants(s, keep.Waiting, "3 mute in1; 4 plug t1 b1; 6 switch grid/out2=in2; 7 unmute in1")
		if last := b.planner.asks[len(b.planner.asks)-1]; len(last.From.Cords) != 1 {
			t.Errorf("planned from %v", last.From.Cords)
		}
		s = b.tick("3")
		b.wants(s, keep.Waiting, "4 plug t1 b1; 6 switch grid/out2=in2; 7 unmute in1")
		s = b.tick("4")
		b.wants(s, keep.Waiting, "7 unmute in1")
		b.wants(b.tick("7"), keep.Given, "")
	})
}

// Speakers that are down stay known to be down when the way is made anew: nobody
// is asked to mute twice, and they are brought back at the end.
func TestMutedAcrossPlans(t *testing.T) {
	onBench(t, func(b *bench) {
		b.planner.speakers = []name.Point{name.At("speakers", "in", 1)}
		b.studio.Wires = []studio.Wire{{From: name.At("synth", "out", 1), To: name.At("speakers", "in", 1)}} // something always plays
		b.start()
		b.recall("tern")
		b.tick("3") // muted
		s := b.recall("heron")
		if got := steps(s.Left); strings.Contains(got, "3 mute") || !strings.Contains(got, "unmute in1") {
			t.Errorf("left %q", got)
		}
		s = b.recall("plain") // moves nothing a person moves
		if got := steps(s.Left); !strings.HasSuffix(got, "unmute in1") || len(s.Left) != 1 {
			t.Errorf("left %q", got)
		}
		b.wants(b.tick(s.Left[0].ID), keep.Given, "")
	})
}

func TestCutSpeakersStayDown(t *testing.T) {
	onBench(t, func(b *bench) {
		b.planner.speakers = []name.Point{name.At("speakers", "in", 1)}
		b.files.Sessions["plain"].Cut = []string{"speakers"}
		b.studio.Wires = []studio.Wire{{From: name.At("synth", "out", 1), To: name.At("speakers", "in", 1)}} // something always plays
		b.start()
		b.recall("tern")
		b.tick("3")
		b.wants(b.recall("plain"), keep.Given, "")
	})
}

func TestHushIsShownWhereNothingBringsItBack(t *testing.T) {
	onBench(t, func(b *bench) {
		b.planner.speakers = []name.Point{name.At("speakers", "in", 1)}
		b.studio.Wires = []studio.Wire{{From: name.At("synth", "out", 1), To: name.At("speakers", "in", 1)}} // something always plays
		b.start()
		b.recall("tern")
		b.tick("3", "4", "5", "7") // the unmute before its switch was read
		b.untick("7")
		s := b.status()
		if got := steps(s.Left); !strings.Contains(got, "unmute in1") {
			t.Errorf("left %q, problems %v", got, codes(s))
		}
	})
}

func TestNot(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("tern")
		b.tick("3", "4")
		s := b.untick("3")
		if got := steps(s.Left); got != "3 plug t1 b1" || s.Phase != keep.Waiting {
			t.Errorf("%s with %q left", s.Phase, got)
		}
		if len(s.Known.Cords) != 1 {
			t.Errorf("cords %v", s.Known.Cords)
		}
		b.wants(b.tick("3"), keep.Given, "")
		b.wants(b.tick("3"), keep.Given, "") // said twice
		b.refused(keep.Act{Do: keep.WereDone, IDs: []string{"99"}}, keep.ErrUnknownStep)
		b.refused(keep.Act{Do: keep.NotDone, IDs: []string{"99"}}, keep.ErrUnknownStep)
		b.refused(keep.Act{Do: keep.NotDone, IDs: []string{"1"}}, keep.ErrUsage)
		b.refused(keep.Act{Do: keep.NotDone, All: true}, keep.ErrUsage)
		b.refused(keep.Act{Do: keep.WereDone}, keep.ErrUsage)
	})
}

// A cord that was not pulled after all is the one that was there, with its poles.
func TestNotPulledIsTheSameCord(t *testing.T) {
	onBench(t, func(b *bench) {
		two := cord("t5", "b5")
		two.Poles = 2
		b.studio.Rest.Cords = []patch.Cord{two}
		b.start()
		s := b.recall("plain")
		id := s.Left[0].ID
		b.tick(id)
		s = b.untick(id)
		if len(s.Known.Cords) != 1 || s.Known.Cords[0].Cord != two {
			t.Errorf("cords %+v", s.Known.Cords)
		}
		if got := steps(s.Left); got != id+" pull t5 b5" {
			t.Errorf("left %q", got)
		}
	})
}

func TestTickOfADevice(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("tern")
		b.refused(keep.Act{Do: keep.WereDone, IDs: []string{"5"}}, keep.ErrUsage)
	})
}

// Everything means what can be done before a device has to switch again.
func TestTickAll(t *testing.T) {
	onBench(t, func(b *bench) {
		b.planner.speakers = []name.Point{name.At("speakers", "in", 1)}
		b.start()
		b.recall("tern")
		got, err := b.keeper.Act(ctx, keep.Act{Do: keep.WereDone, All: true})
		if err != nil {
			t.Fatal(err)
		}
		b.wants(got.Status, keep.Waiting, "7 unmute in1")
		// By step it says what it took, and what it did not take since a device comes before.
		if len(got.Took) == 0 || slices.Contains(got.Took, "7") || len(got.Waits) != 1 || got.Waits[0].ID != "7" ||
			!slices.ContainsFunc(got.Waits[0].After, func(x keep.Before) bool { return x.By != "" }) {
			t.Errorf("taken were %v, not taken %+v", got.Took, got.Waits)
		}
	})
}

func TestUnplanned(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("tern")
		// A cord in the way of nothing: it is in, and the plan is to pull it.
		s, err := asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("t7"), B: jack("b7")})
		if err != nil {
			t.Fatal(err)
		}
		if got := steps(s.Left); !strings.Contains(got, "pull t7 b7") || !strings.Contains(got, "3 plug t1 b1; 4 plug t2 b2; 5 switch") {
			t.Errorf("left %q", got)
		}
		// What the plan wants, done unasked: it is that step.
		if s, err = asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("b1"), B: jack("t1")}); err != nil {
			t.Fatal(err)
		}
		if got := steps(s.Left); strings.Contains(got, "plug t1 b1") || !strings.Contains(got, "4 plug t2 b2") {
			t.Errorf("left %q", got)
		}
		if s, err = asked(b.keeper, keep.Act{Do: keep.Pulled, A: jack("b7")}); err != nil {
			t.Fatal(err)
		}
		b.wants(s, keep.Waiting, "4 plug t2 b2; 5 switch grid/out2=in2")
		if s, err = asked(b.keeper, keep.Act{Do: keep.Moved, A: jack("b1"), B: jack("b6")}); err != nil {
			t.Fatal(err)
		}
		if got := steps(s.Left); !strings.Contains(got, "pull t1 b6") || !strings.Contains(got, "plug t1 b1") {
			t.Errorf("left %q", got)
		}
		if used := usedTwice(s); used != "" {
			t.Errorf("step %s is used for two things", used)
		}
	})
}

// usedTwice is an ID that stands for a step done and for another one left.
func usedTwice(s keep.Status) string {
	seen := map[string]bool{}
	for _, d := range s.Done {
		seen[d.ID] = true
	}
	for _, l := range s.Left {
		if seen[l.ID] {
			return l.ID
		}
		seen[l.ID] = true
	}
	return ""
}

func TestUnplannedWithoutASession(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		if s := b.status(); problem(s, "bay-assumed") == "" {
			t.Error("the bay is taken to be at rest, and nobody is told")
		}
		s, err := asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("t1"), B: jack("b2")})
		if err != nil {
			t.Fatal(err)
		}
		b.wants(s, keep.Idle, "")
		if problem(s, "bay-assumed") != "" || s.Known.Cords[0].How != keep.Told {
			t.Errorf("problems %v, cords %v", s.Problems, s.Known.Cords)
		}
		b.restart(-1)
		if s := b.status(); len(s.Known.Cords) != 1 || s.Known.Cords[0].How != keep.Told {
			t.Errorf("after a restart: %v", s.Known.Cords)
		}
	})
}

func TestWhatDoesNotFit(t *testing.T) {
	synth := name.At("synth", "out", 1)
	onBench(t, func(b *bench) {
		b.start()
		do := func(s keep.Status, err error) error { return err }
		for _, c := range []struct {
			what string
			err  error
			want error
		}{
			{"plug t1 b1", do(asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("t1"), B: jack("b1")})), nil},
			{"plug into a full jack", do(asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("t1"), B: jack("b2")})), keep.ErrConflict},
			{"a dummy into a full jack", do(asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("b1")})), keep.ErrConflict},
			{"both ends in one jack", do(asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("t3"), B: jack("t3")})), keep.ErrUsage},
			{"a jack that is not there", do(asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("t3"), B: jack("b9")})), keep.ErrUnknownPoint},
			{"another bay", do(asked(b.keeper, keep.Act{Do: keep.Pulled, A: name.At("far", "t", 1)})), keep.ErrUnknownPoint},
			{"pull nothing", do(asked(b.keeper, keep.Act{Do: keep.Pulled, A: jack("t4")})), keep.ErrConflict},
			{"move nothing", do(asked(b.keeper, keep.Act{Do: keep.Moved, A: jack("t4"), B: jack("t5")})), keep.ErrConflict},
			{"move to a full jack", do(asked(b.keeper, keep.Act{Do: keep.Moved, A: jack("t1"), B: jack("b1")})), keep.ErrConflict},
			{"move nowhere", do(asked(b.keeper, keep.Act{Do: keep.Moved, A: jack("t1"), B: jack("t1")})), keep.ErrUsage},
			{"a lead", do(asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("b5"), B: synth})), nil},
			{"a dummy", do(asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("b6")})), nil},
			{"move the dummy", do(asked(b.keeper, keep.Act{Do: keep.Moved, A: jack("b6"), B: jack("b7")})), nil},
			{"move the lead", do(asked(b.keeper, keep.Act{Do: keep.Moved, A: jack("b5"), B: jack("b6")})), nil},
			{"leave an end loose", do(asked(b.keeper, keep.Act{Do: keep.Moved, A: jack("t1")})), nil},
		} {
			if c.want == nil && c.err != nil {
				t.Errorf("%s: %v", c.what, c.err)
			} else if c.want != nil {
				errorIs(t, c.err, c.want)
			}
		}
		s := b.status()
		if len(s.Known.Cords) != 1 || s.Known.Cords[0].Cord != (patch.Cord{A: jack("b1")}) ||
			len(s.Known.Leads) != 1 || s.Known.Leads[0].Jack != jack("b6") || len(s.Known.Dummies) != 1 || s.Known.Dummies[0].Jack != jack("b7") {
			t.Errorf("known %+v", s.Known)
		}
		if err := do(asked(b.keeper, keep.Act{Do: keep.Moved, A: jack("b1")})); err != nil {
			t.Error(err)
		}
		if s := b.status(); len(s.Known.Cords) != 0 {
			t.Errorf("a cord with no end in: %v", s.Known.Cords)
		}
	})
}

func TestTag(t *testing.T) {
	onBench(t, func(b *bench) {
		b.studio.Faulty = []name.Point{jack("t8")}
		b.start()
		b.recall("tern")
		before := len(b.planner.asks)
		s, err := asked(b.keeper, keep.Act{Do: keep.Faulty, A: jack("t1")})
		if err != nil || len(s.Tags) != 1 || s.Tags[0].Jack != jack("t1") || s.Tags[0].How != keep.Told {
			t.Fatalf("tags %v, %v", s.Tags, err)
		}
		if len(b.planner.asks) != before+1 || !slices.Contains(b.planner.asks[before].Studio.Faulty, jack("t1")) {
			t.Error("the way was not made around it")
		}
		if slices.Contains(b.studio.Faulty, jack("t1")) {
			t.Error("the studio of the file was changed")
		}
		if s, err = asked(b.keeper, keep.Act{Do: keep.Sound, A: jack("t1")}); err != nil || len(s.Tags) != 0 {
			t.Errorf("tags %v, %v", s.Tags, err)
		}
		_, err = asked(b.keeper, keep.Act{Do: keep.Sound, A: jack("t8")})
		errorIs(t, err, keep.ErrConflict)
		_, err = asked(b.keeper, keep.Act{Do: keep.Faulty, A: jack("t9")})
		errorIs(t, err, keep.ErrUnknownPoint)
	})
}

// The switches of a matrix that no device is named for are made by hand at its
// panel, and known as told.
func TestMatrixWithoutADevice(t *testing.T) {
	onBench(t, func(b *bench) {
		b.studio.Matrices[1].Device = nil
		delete(b.units, "far")
		b.start()
		s := b.recall("tern")
		b.wants(s, keep.Waiting, "1 switch far/out1=in2; 3 plug t1 b1; 4 plug t2 b2; 5 switch grid/out2=in2")
		s = b.tick("1", "3", "4")
		b.wants(s, keep.Given, "")
		if got := how(s, farOne.Output); got != "told in2" {
			t.Errorf("far/out1 is %q", got)
		}
		s = b.untick("1")
		if got := how(s, farOne.Output); got != "told " || steps(s.Left) != "1 switch far/out1=in2" {
			t.Errorf("far/out1 is %q, left %q", got, steps(s.Left))
		}
	})
}

func TestStepsAreCopies(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		s := b.recall("tern")
		s.Left[0] = plan.Step{ID: "x"}
		s.Known.Crosspoints[0].How = keep.Told
		if again := b.status(); again.Left[0].ID == "x" || again.Known.Crosspoints[0].How == keep.Told {
			t.Error("a status shares its lists with the keeper")
		}
	})
}
