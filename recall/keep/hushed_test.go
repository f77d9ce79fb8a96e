package keep_test

import (
	"testing"

	"bayhand/model/planner"
	"bayhand/model/session"
	modeltext "bayhand/model/text"
	"bayhand/recall/keep"
)

const playing = `studio: Loudspeakers
gear:
  desk: {outputs: {out1-2: pro-line}}
  speakers: {inputs: {in1-2: pro-line}, role: loudspeaker, mute: {by: person, at: monitor cut}}
bays:
  main: {pairs: 4, modes: isolated}
wiring:
  - desk/out1-2 -> main/t1-2
  - main/b1-2 -> speakers/in1-2
`

// Loudspeakers that were taken down for a way that was given up are not asked for
// while nothing plays there; they are once something does. No plug goes by their being down
// still.
func TestNobodyTurnsUpWhereNothingPlays(t *testing.T) {
	onBench(t, func(b *bench) {
		s, _, problems := modeltext.ReadStudio("studio.yaml", []byte(playing))
		if problems.Errors() {
			t.Fatal(problems)
		}
		play, _, problems := modeltext.ReadSession("play.yaml", []byte("session: Play\nconnect: [desk/out1-2 -> speakers/in1-2]\n"), s, nil)
		if problems.Errors() {
			t.Fatal(problems)
		}
		play.Name = "play"
		b.studio, b.files.Studio, b.files.Sessions = s, s, map[string]*session.Session{"play": play}
		config := b.config()
		config.Plan = planner.Make
		b.startWith(config)

		status := b.recall("play")
		if len(status.Left) == 0 || status.Left[0].Do != "mute" {
			t.Fatalf("left is %s", steps(status.Left))
		}
		b.tick(status.Left[0].ID)
		status = b.recall(keep.RestName)
		b.wants(status, keep.Given, "")
		if got := problem(status, "hushed"); got != "" {
			t.Errorf("at rest it says %q", got)
		}
		b.end()
		b.startWith(config)
		if got := problem(b.status(), "hushed"); got != "" {
			t.Errorf("after a restart it says %q", got)
		}
		// Nobody said that they are down since nothing plays there, and somebody may have turned
		// them up: that is asked for again before a plug moves.
		status = b.recall("play")
		if got := steps(status.Left); got != "1 mute in1 in2; 2 plug t1 b1; 3 plug t2 b2; 4 unmute in1 in2" {
			t.Errorf("left is %s", got)
		}
		b.allByHand()
		if got := problem(b.status(), "hushed"); got != "" {
			t.Errorf("when they play it says %q", got)
		}
	})
}
