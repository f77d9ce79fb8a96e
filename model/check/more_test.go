package check_test

import (
	"fmt"
	"strings"
	"testing"

	"bayhand/model/check"
)

// studioOf is a studio file with some gear, one bay of four pairs, and more
// lines after it.
func studioOf(modes string, more ...string) string {
	return `studio: A small room
gear:
  synth: {outputs: {out1-2: pro-line}}
  recorder: {inputs: {in1-2: pro-line}, outputs: {out1-2: pro-line}, can-pass: [in1-2 -> out1-2]}
  echo: {channels: 1, line: pro-line}
  desk: {inserts: {ins1-2: pro-line}}
bays:
  main: {pairs: 4, modes: ` + modes + `}
` + strings.Join(more, "\n") + "\n"
}

func TestMoreOfTheRules(t *testing.T) {
	const session = "session: A test\n"
	for _, c := range []struct {
		name            string
		studio, session string
		want            []string // code severity line:column, port-unwired left out
	}{
		{
			name:   "a cord of the rest patch joins outputs",
			studio: studioOf("isolated", "wiring: [synth/out1-2 -> main/t1-2]", "rest: {cords: [main/t1 - main/t2]}"),
			want:   []string{"outputs-joined error 9:10"},
		},
		{
			name:    "the kept patch joins outputs",
			studio:  studioOf("isolated", "wiring: [synth/out1-2 -> main/t1-2]"),
			session: session + "patch: {cords: [main/t1 - main/t2]}\n",
			want:    []string{"outputs-joined error 2:1"},
		},
		{
			name:   "a dummy at rest keeps outputs apart",
			studio: studioOf("half-normal", "wiring: [synth/out1 -> main/t1, synth/out2 -> main/b1]", "rest: {dummies: [main/b1]}"),
		},
		{
			name:   "a wire and a tie at one jack",
			studio: studioOf("isolated", "wiring: [synth/out1 -> main/t1]", "ties: [main/t1 = main/t4]"),
			want:   []string{"jack-twice warning 10:8"},
		},
		{
			name:   "a mult may share a jack with a wire",
			studio: studioOf("isolated", "wiring: [synth/out1 -> main/t1]", "mults: [[main/t1, main/t4]]"),
		},
		{
			name:   "inserts on each other's pairs",
			studio: studioOf("half-normal", "wiring: [desk/ins1-2.send -> main/t1-2, main/b1 -> desk/ins2.return, main/b2 -> desk/ins1.return]"),
			want:   []string{"insert-apart warning 9:41", "insert-apart warning 9:70"},
		},
		{
			name:   "inserts side by side on isolated pairs",
			studio: studioOf("isolated", "wiring: [desk/ins1-2.send -> main/t1-2, main/t3-4 -> desk/ins1-2.return]"),
			want:   []string{"insert-open warning 9:41"},
		},
		{
			name:   "a source above on a module turned round",
			studio: studioOf("half-normal-top", "wiring: [synth/out1 -> main/t1, main/b1 -> recorder/in1]"),
			want:   []string{"source-breaks warning 9:10"},
		},
		{
			name:   "a full normal breaks at both jacks",
			studio: studioOf("normal", "wiring: [synth/out1 -> main/b1, main/t1 -> recorder/in1]"),
		},
		{
			name:   "a source alone on the breaking jack",
			studio: studioOf("half-normal", "wiring: [synth/out1 -> main/b1]"),
		},
		{
			name:    "a loop of the session's own lines",
			studio:  studioOf("isolated", "wiring: [echo/out1 -> main/t1, main/b1 -> echo/in1]"),
			session: session + "connect:\n  - echo/out1 -> echo/in1\n",
			want:    []string{"loop error 3:5"},
		},
		{
			name:    "a loop that is meant",
			studio:  studioOf("isolated", "wiring: [echo/out1 -> main/t1, main/b1 -> echo/in1]"),
			session: session + "connect:\n  - echo/out1 -> echo/in1\nallow: [loop echo/in1]\n",
		},
		{
			name:    "the software closes a loop with a normal",
			studio:  studioOf("half-normal", "wiring: [recorder/out1 -> main/t1, main/b1 -> echo/in1, echo/out1 -> main/t2, main/b2 -> recorder/in1]"),
			session: session + "inside: [recorder/in1 -> recorder/out1]\n",
			want:    []string{"loop-possible warning 9:36", "loop warning 2:1"},
		},
		{
			name:    "the same, but the session asks for something else",
			studio:  studioOf("isolated", "wiring: [recorder/out1 -> main/t1, main/b1 -> echo/in1, echo/out1 -> main/t2, main/b2 -> recorder/in1]"),
			session: session + "connect: [synth/out1 -> recorder/in1]\ninside: [recorder/in1 -> recorder/out1]\n",
		},
		{
			name:    "a recorder that could monitor what it plays",
			studio:  studioOf("isolated", "wiring: [recorder/out1-2 -> main/t1-2, main/b1-2 -> recorder/in1-2]"),
			session: session + "connect: [recorder/out1 -> recorder/in1]\n",
			want:    []string{"loop-possible warning 2:11"},
		},
		{
			name:   "dummies that nobody owns",
			studio: studioOf("isolated", "dummies: 0", "rest: {dummies: [main/t1]}"),
			want:   []string{"stock-short warning 10:8"},
		},
		{
			name: "loudspeaker level straight into an input",
			studio: "studio: Danger\ngear:\n  power: {outputs: {out1: loudspeaker}}\n  desk: {inputs: {in1: pro-line}}\n" +
				"wiring: [power/out1 -> desk/in1]\n",
			want: []string{"kind-differs error 5:10"},
		},
		{
			name: "loudspeaker level into a matrix",
			studio: "studio: Danger\ngear:\n  power: {outputs: {out1: loudspeaker}}\nmatrices:\n  grid: {inputs: 1, outputs: 1}\n" +
				"wiring: [power/out1 -> grid/in1]\n",
			want: []string{"loudspeaker-on-bay error 6:10"},
		},
		{
			name: "a headphone output into a line input",
			studio: "studio: A tablet\ngear:\n  tablet: {outputs: {out1: headphone}}\n  desk: {inputs: {in1: pro-line}}\n" +
				"wiring: [tablet/out1 -> desk/in1]\n",
			want: []string{"kind-differs advice 5:10"},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, f := range read(t, check.Example{Studio: c.studio, Session: c.session}) {
				if f.Code != "port-unwired" {
					got = append(got, fmt.Sprintf("%s %s %d:%d", f.Code, f.Severity, f.Line, f.Column))
				}
			}
			if fmt.Sprint(got) != fmt.Sprint(c.want) {
				t.Errorf("found %q\nnot   %q", got, c.want)
			}
		})
	}
}
