package keep_test

import (
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/recall/keep"
)

// What was in at any time is told by the history, as it was known then.
func TestWhatWasIn(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.status()
		type moment struct {
			at   time.Time
			want string
		}
		var moments []moment
		mark := func() {
			b.pass(time.Second)
			moments = append(moments, moment{time.Now(), text(b.status().Known.Patch())})
			b.pass(time.Minute)
		}
		b.recall("tern")
		mark()
		done := byHand(b.status())[0]
		b.tick(done)
		mark()
		b.untick(done)
		mark()
		b.allByHand()
		mark()
		b.units["grid"].turn(out(3), in(4))
		if _, err := asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("t7"), B: jack("b7")}); err != nil {
			t.Fatal(err)
		}
		mark()
		b.recall("heron")
		b.allByHand()
		mark()
		events, err := b.journal.Find(keep.Query{})
		if err != nil {
			t.Fatal(err)
		}
		for i, m := range moments {
			known, ok := keep.In(events, m.at)
			if got := text(known.Patch()); !ok || got != m.want {
				t.Errorf("moment %d: in was %q, and the history has %q", i, m.want, got)
			}
		}
		if _, ok := keep.In(events, moments[0].at.Add(-time.Hour)); ok {
			t.Error("something is known from before the beginning")
		}
	})
}

func TestWhoMovedIt(t *testing.T) {
	onBench(t, func(b *bench) {
		config := b.config()
		config.Who = "the desk"
		b.startWith(config)
		b.recall("tern")
		if _, err := asked(b.keeper, keep.Act{Do: keep.WereDone, All: true, By: "anna"}); err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			q    keep.Query
			want string
		}{
			{keep.Query{Point: jack("t1"), Last: 1}, "done by anna"},
			{keep.Query{Kinds: []keep.Kind{keep.Recalled}}, "recalled by the desk"},
			{keep.Query{Point: name.At("grid", "out", 1), Kinds: []keep.Kind{keep.WasRead}, Last: 1}, "read by "},
		} {
			found, err := b.journal.Find(c.q)
			if err != nil || len(found) != 1 {
				t.Fatalf("%+v: %v, %v", c.q, found, err)
			}
			if got := string(found[0].Kind) + " by " + found[0].By; got != c.want {
				t.Errorf("%s, want %s", got, c.want)
			}
		}
	})
}
