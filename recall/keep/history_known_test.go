package keep_test

import (
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/recall/keep"
)

// The history does not know more than the keeper knew: not of an output that was being
// switched, nor of one whose answer made no sense, nor of a device that was gone.
func TestHistoryKnowsNoMoreThanTheKeeper(t *testing.T) {
	onBench(t, func(b *bench) {
		u := b.units["grid"]
		b.start()
		b.recall("plain")
		same := func(what string) {
			t.Helper()
			b.pass(time.Minute)
			s := b.status()
			b.pass(time.Second / 10)
			events, err := b.journal.Find(keep.Query{})
			if err != nil {
				t.Fatal(err)
			}
			known, _ := keep.In(events, time.Now())
			for _, o := range []int{1, 2, 3} {
				if got, want := how(keep.Status{Known: known}, out(o)), how(s, out(o)); got != want {
					t.Errorf("%s: the history has out%d as %q, the keeper had %q", what, o, got, want)
				}
			}
		}
		same("given")
		u.change(func(u *unit) { u.unclear, u.stuck[out(3)] = map[name.Point]bool{out(3): true}, true })
		same("unclear")
		u.change(func(u *unit) { u.unclear = nil })
		same("clear again")
		u.change(func(u *unit) { u.gone = true })
		same("gone")
		u.change(func(u *unit) { u.gone = false })
		same("back")
		u.change(func(u *unit) { u.silent = true; u.slow = 5 * time.Second })
		_ = b.later(ctx, keep.Act{Do: keep.ToRecall, Session: "heron"})
		same("silent")
		u.change(func(u *unit) { u.silent, u.slow = false, 0 })
		same("heard again")
	})
}
