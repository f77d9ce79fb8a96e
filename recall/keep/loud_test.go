package keep_test

import (
	"testing"
	"time"

	"bayhand/model/studio"
	modeltext "bayhand/model/text"
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

// What a silent matrix leads to is followed as a signal goes: over normals, cords and the
// cords to come, and through gear. Loudspeakers behind a jack that nothing joins are not named.
func TestLoudspeakersFarBehindASilentMatrix(t *testing.T) {
	const head = `studio: Far behind
gear:
  synth: {outputs: {out1: pro-line}}
  desk: {inputs: {in1: pro-line}, outputs: {out1: pro-line}, can-pass: [in1 -> out1]}
  amplifier: {inputs: {in1: pro-line}, outputs: {out1: loudspeaker}}
  hall: {inputs: {in1: loudspeaker}, role: loudspeaker, mute: {by: person, at: amplifier}}
  monitors: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: person, at: knob}}
  phones: {inputs: {in1: headphone}, role: headphone, mute: {by: person, at: knob}}
matrices:
  grid: {inputs: 4, outputs: 4, device: {description: scpi-switch, link: "tcp:grid:1"}}
`
	for _, c := range []struct{ name, rest, want string }{
		{"a power amplifier on a wire", "bays:\n  main: {pairs: 4, modes: isolated}\nwiring: [grid/out1 -> amplifier/in1, amplifier/out1 -> hall/in1]\n", "amplifier"},
		{"a desk, and a normal behind it", "bays:\n  main: {pairs: 4, modes: half-normal}\nwiring: [grid/out1 -> desk/in1, desk/out1 -> main/t1, main/b1 -> monitors/in1]\n", "monitors"},
		{"a normal strapped to another pair", "bays:\n  main: {pairs: 4, modes: isolated}\nnormals: [main/t1 -> main/b3]\nwiring: [grid/out1 -> main/t1, main/b3 -> phones/in1]\n", "phones"},
		{"a cord at rest", "bays:\n  main: {pairs: 4, modes: isolated}\nwiring: [grid/out1 -> main/t2, main/b3 -> monitors/in1]\nrest: {cords: [main/t2 - main/b3]}\n", "monitors"},
		{"the cord to come, of the session", "bays:\n  main: {pairs: 4, modes: isolated}\nwiring: [grid/out1 -> main/t1, main/b3 -> monitors/in1]\n", "monitors"},
		{"a pair that joins nothing", "bays:\n  main: {pairs: 4, modes: isolated}\nwiring: [grid/out1 -> main/t4, main/b4 -> monitors/in1]\n", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			onBench(t, func(b *bench) {
				s, _, problems := modeltext.ReadStudio("studio.yaml", []byte(head+c.rest))
				if problems.Errors() {
					t.Fatal(problems)
				}
				b.studio, b.files.Studio = s, s
				b.units["grid"].gone = true
				b.start()
				b.pass(time.Minute)
				_, _ = b.keeper.Act(ctx, keep.Act{Do: keep.ToRecall, Session: "heron"}) // whether it waits for the matrix is told elsewhere
				want := ""
				if c.want != "" {
					want = "Turn " + c.want + " down by hand before you plug: grid feeds or mutes them, and does not answer."
				}
				if got := problem(b.status(), "mute-unknown"); got != want {
					t.Errorf("it says %q, want %q", got, want)
				}
			})
		})
	}
}
