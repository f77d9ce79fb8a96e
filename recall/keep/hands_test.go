package keep_test

import (
	"slices"
	"sync"
	"testing"
	"testing/synctest"

	"bayhand/recall/keep"
)

// slowJournal takes its time: each write waits for a turn. It notes what is written.
type slowJournal struct {
	*bench
	turns chan struct{}
	texts []string
}

func (j *slowJournal) Write(m keep.Memory, events []keep.Event) error {
	<-j.turns
	for _, e := range events {
		j.texts = append(j.texts, e.Text)
	}
	return j.bench.Write(m, events)
}

// Who stands at the bay waits for nobody who only asks for something: whatever came while
// the keeper was busy, what hands did is taken in first.
func TestHandsGoBeforeOtherAsks(t *testing.T) {
	onBench(t, func(b *bench) {
		slow := &slowJournal{bench: b, turns: make(chan struct{}, 1000)}
		config := b.config()
		config.Journal = slow
		for range cap(slow.turns) {
			slow.turns <- struct{}{}
		}
		b.startWith(config)
		b.status()
		for len(slow.turns) > 0 {
			<-slow.turns
		}
		slow.texts = nil

		var at sync.WaitGroup
		for _, act := range []keep.Act{
			{Do: keep.Plugged, A: jack("t3"), B: jack("b3")}, // is being written
			{Do: keep.WasHeard, A: jack("t3"), B: jack("b3")},
			{Do: keep.WasHeard, A: jack("t3"), B: jack("b3")},
			{Do: keep.Plugged, A: jack("t1"), B: jack("b1")},
		} {
			at.Go(func() {
				if _, err := b.keeper.Act(ctx, act); err != nil {
					t.Error(err)
				}
			})
			synctest.Wait()
		}
		close(slow.turns)
		at.Wait()
		hand := slices.Index(slow.texts, "plug main/t1 - main/b1")
		if len(slow.texts) != 4 || hand != 1 {
			t.Errorf("written were %q; the second cord that was plugged goes before the rest", slow.texts)
		}
	})
}
