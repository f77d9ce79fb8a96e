package keep_test

import (
	"strings"
	"testing"
	"time"

	"bayhand/recall/keep"
)

// After a start it is asked once whether the bay is as it was left; whoever says
// so, or recalls on without saying so, has the last known state taken for so.
func TestStillAsItWas(t *testing.T) {
	onBench(t, func(b *bench) {
		asking := func() {
			config := b.config()
			config.Asks = true
			b.startWith(config)
		}
		asking()
		if s := b.status(); problem(s, "bay-asked") != "" {
			t.Errorf("asked where nothing was ever told: %v", s.Problems)
		}
		b.recall("tern")
		given := b.allByHand()
		b.end()
		asking()
		s := b.status()
		for _, part := range []string{"main/t1 - main/b1", "main/t2 - main/b2"} {
			if got := problem(s, "bay-asked"); !strings.Contains(got, part) {
				t.Errorf("asked is %q, without %s", got, part)
			}
		}
		b.wants(s, keep.Given, "")
		if text(s.Known.Patch()) != text(given.Known.Patch()) {
			t.Errorf("known are %s", text(s.Known.Patch()))
		}
		// Over another restart it is one question still, with its time.
		since := s.Problems[0].Since
		b.end()
		b.pass(time.Minute)
		asking()
		if s = b.status(); len(s.Problems) != 1 || !s.Problems[0].Since.Equal(since) {
			t.Errorf("asked again: %+v", s.Problems)
		}
		// What is otherwise is said, and then the rest.
		if _, err := asked(b.keeper, keep.Act{Do: keep.Pulled, A: jack("t2")}); err != nil {
			t.Fatal(err)
		}
		s, err := asked(b.keeper, keep.Act{Do: keep.StillSo})
		if err != nil || problem(s, "bay-asked") != "" {
			t.Errorf("answered: %v, %v", s.Problems, err)
		}
		if s.Known.Cords[0].How != keep.Told {
			t.Errorf("a cord is %s", s.Known.Cords[0].How)
		}
		_, err = asked(b.keeper, keep.Act{Do: keep.StillSo, All: true})
		errorIs(t, err, keep.ErrUsage)
		// A command that keeps the room for a moment asks nobody.
		b.restart(-1)
		if s := b.status(); problem(s, "bay-asked") != "" {
			t.Errorf("a command asks: %v", s.Problems)
		}
	})
}
