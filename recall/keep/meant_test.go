package keep_test

import (
	"testing"

	"bayhand/model/name"
	"bayhand/recall/keep"
)

// A screen shows a step of one recall while another is planned: its tick comes in when the
// number is that of another step, of which nothing was done.
func TestTickOfAStepThatWasShownBefore(t *testing.T) {
	onBench(t, func(b *bench) {
		b.planner.speakers = []name.Point{name.At("speakers", "in", 1)}
		b.start()
		shown := map[string]keep.DoneStep{}
		s := b.recall("heron")
		for _, step := range s.Left {
			shown[step.ID] = keep.DoneStep{Step: step}
		}
		s = b.recall("tern")
		others := 0
		for _, step := range s.Left {
			was, is := shown[step.ID]
			if !is || keep.Driven(b.studio, step) || keep.MeansOf(was.Step) == keep.MeansOf(step) {
				continue
			}
			others++
			b.refused(keep.Act{Do: keep.WereDone, IDs: []string{step.ID}, Means: keep.MeansOf(was.Step)}, keep.ErrConflict)
			b.refused(keep.Act{Do: keep.NotDone, IDs: []string{step.ID}, Means: keep.MeansOf(was.Step)}, keep.ErrConflict)
		}
		if others == 0 {
			t.Fatal("no number stands for another step now")
		}
		b.wants(b.status(), s.Phase, steps(s.Left))
	})
}

// What was shown stays the same step over a restart, over reports and once it is done.
func TestTickOfAStepAsShown(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		s := b.recall("tern")
		act := keep.Act{Do: keep.WereDone, IDs: []string{s.Left[0].ID}, Means: keep.MeansOf(s.Left[0])}
		b.restart(-1)
		for range 2 { // said twice
			if _, err := asked(b.keeper, act); err != nil {
				t.Fatal(err)
			}
		}
		act.Do = keep.NotDone
		if _, err := asked(b.keeper, act); err != nil {
			t.Fatal(err)
		}
		b.wants(b.status(), s.Phase, steps(s.Left))
		b.refused(keep.Act{Do: keep.WereDone, All: true, Means: act.Means}, keep.ErrUsage)
		b.refused(keep.Act{Do: keep.WereDone, IDs: []string{"3", "4"}, Means: act.Means}, keep.ErrUsage)
	})
}
