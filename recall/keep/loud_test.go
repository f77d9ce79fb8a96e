package keep_test

import (
	"testing"
	"time"

	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// A matrix that has never answered may feed the loudspeakers, though all of its crosspoints
// are assumed to be open: who is to plug is told to turn them down, until it answers or
// nothing is left to plug.
func TestLoudspeakersBehindASilentMatrix(t *testing.T) {
	onBench(t, func(b *bench) {
		b.studio.Gear[0].Role, b.studio.Gear[0].Label = studio.Loudspeaker, "main loudspeakers"
		b.studio.Gear[0].Mute = studio.Mute{Output: out(1)}
		grid := b.units["grid"]
		grid.gone = true
		b.start()
		if got := problem(b.status(), "mute-unknown"); got != "" {
			t.Errorf("nobody is to plug, and it says %q", got)
		}
		b.pass(time.Minute)
		_, _ = b.keeper.Act(ctx, keep.Act{Do: keep.ToRecall, Session: "heron"}) // whether it waits for the matrix is told elsewhere
		s := b.status()
		want := "Turn main loudspeakers down by hand before you plug: grid feeds or mutes them, and does not answer."
		if got := problem(s, "mute-unknown"); got != want {
			t.Errorf("it says %q, want %q", got, want)
		}
		grid.change(func(u *unit) { u.gone = false })
		b.pass(time.Minute)
		if got := problem(b.status(), "mute-unknown"); got != "" {
			t.Errorf("it answers, and it says %q", got)
		}
		grid.change(func(u *unit) { u.gone = true })
		b.pass(time.Minute)
		if got := problem(b.status(), "mute-unknown"); got != want {
			t.Errorf("it is silent again, and it says %q", got)
		}
		for s = b.status(); len(s.Left) > 0 && s.Left[0].By == "person"; s = b.status() {
			b.tick(s.Left[0].ID)
		}
		if got := problem(b.status(), "mute-unknown"); got != "" || b.status().Phase == keep.Given {
			t.Errorf("nothing is left to plug, and it says %q", got)
		}
	})
}
