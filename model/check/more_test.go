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

// itself is a desk of which nobody says what it carries.
const itself = "studio: A desk\ngear:\n  desk: {outputs: {mix1: pro-line, cue1: pro-line}, inputs: {in1: pro-line}}\n" +
	"bays:\n  main: {pairs: 2, modes: isolated}\nwiring: [desk/mix1 -> main/t1, main/b1 -> desk/in1]\n"

// standIns is a studio with two units that can stand in for each other.
const standIns = "studio: Two\ngear:\n  opto: {channels: 1, line: pro-line}\n  vari: {channels: 1, line: pro-line}\nbays:\n  main: {pairs: 2, modes: isolated}\n" +
	"wiring: [opto/out1 -> main/t1, main/b1 -> opto/in1, vari/out1 -> main/t2, main/b2 -> vari/in1]\n"

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
			name: "a line to a room arrives below, where its tie does",
			studio: strings.Replace(studioOf("isolated", "wiring: [synth/out1-2 -> main/t1-2, recorder/out1 -> far/t1]", "ties: [far/t4 = main/b4]",
				"rooms: {live: [far], mix: [main]}", "lines-to: {mix: {talk: far/t4}}"), "bays:\n", "bays:\n  far: {pairs: 4, modes: isolated}\n", 1),
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
			name: "a bridged amplifier on a bay with bussed sleeves",
			studio: "studio: Danger\ngear:\n  power: {outputs: {out1: loudspeaker}}\nbays:\n  main: {pairs: 1, modes: isolated, ground: bussed}\n" +
				"wiring: [power/out1 -> main/t1]\n",
			want: []string{"loudspeaker-on-bay error 6:10"},
		},
		{
			name:    "a program of a unit that is away",
			studio:  strings.Replace(standIns, "vari: {channels: 1, line: pro-line}", "vari: {channels: 1, line: pro-line, midi: {port: usb, channel: 1}}", 1),
			session: session + "substitute: {vari: opto}\nconnect: [vari/out1 -> vari/in1]\nallow: [loop opto/in1]\nprograms: {vari: 3}\n",
			want:    []string{"stand-in-unset warning 5:1"},
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
		{
			name: "a mult that a kept patch feeds twice",
			studio: studioOf("{1-3: isolated, 4: parallel}", "wiring: [synth/out1-2 -> main/t1-2]",
				"mults: [[main/t3, main/t4]]"),
			session: session + "patch: {cords: [main/t1 - main/t3, main/t2 - main/t4]}\n",
			want:    []string{"mult-fed-twice error 2:1"},
		},
		{
			name:    "a half-normal and a cord in the jack that taps join two sources",
			studio:  studioOf("half-normal", "wiring: [synth/out1-2 -> main/t1-2, main/b1 -> recorder/in1]"),
			session: session + "patch: {cords: [main/t2 - main/t1]}\n",
			want:    []string{"outputs-joined error 2:1", "patch-stale advice 2:1"},
		},
		{
			name: "phantom power on a loose cord",
			studio: "studio: A stage\ngear:\n  voice: {inputs: {mic1: {line: microphone, phantom: true}}}\nbays:\n  stage: {pairs: 2, modes: isolated}\n" +
				"wiring: [stage/b1 -> voice/mic1]\nrest: {cords: [{ends: [stage/b1]}]}\n",
			want: []string{"phantom-on-jack advice 6:10", "phantom-plug warning 7:16"},
		},
		{
			name: "a session takes a microphone by way of a matrix",
			studio: "studio: A stage\ngear:\n  mics: {outputs: {out1: microphone}}\n  voice: {inputs: {mic1: {line: microphone, phantom: true}}}\nbays:\n  stage: {pairs: 4, modes: isolated}\n" +
				"matrices:\n  grid: {inputs: 1, outputs: 1, kind: contacts}\nwiring: [mics/out1 -> stage/t1, stage/b1 -> voice/mic1, stage/b2 -> grid/in1, grid/out1 -> stage/t2]\n",
			session: session + "connect:\n  - {from: mics/out1, to: voice/mic1, via: grid}\n",
			want:    []string{"phantom-on-jack advice 9:33", "phantom-crosspoint warning 3:5"},
		},
		{
			name: "cords and leads that join phantom power with lines",
			studio: "studio: A stage\ngear:\n  voice: {inputs: {mic1-2: {line: microphone, phantom: true}}}\n  tape: {inputs: {in1: pro-line, mic2: microphone}}\n  keys: {inputs: {in1: home-line}}\n" +
				"bays:\n  stage: {pairs: 9, modes: {1: parallel, 2-9: isolated}}\nwiring: [stage/b1 -> voice/mic1, stage/b3 -> voice/mic2, stage/b7 -> tape/in1, stage/b9 -> tape/mic2]\n" +
				"rest: {cords: [stage/b1 - stage/b7, stage/t3 - stage/t9], leads: [keys/in1 - stage/t1]}\n",
			want: []string{"phantom-on-line-bay warning 8:10", "phantom-on-line-bay warning 8:34", "phantom-plug warning 9:16", "phantom-plug warning 9:67"},
		},
		{
			name:    "a session asks for an instrument at a microphone input with phantom power",
			studio:  "studio: A stage\ngear:\n  bass: {outputs: {out1: instrument}}\n  voice: {inputs: {mic1: {line: microphone, phantom: true}}}\nbays:\n  stage: {pairs: 2, modes: isolated}\nwiring: [stage/b1 -> voice/mic1]\n",
			session: session + "connect: [bass/out1 -> voice/mic1]\n",
			want:    []string{"phantom-on-jack advice 7:10", "phantom-at-source warning 2:11"},
		},
		{
			// 100 W into 8 ohm are 28.28 V, +31.3 dBu (definition of the dBu).
			name: "a power amplifier that the file calls a line",
			studio: "studio: Danger\nlines:\n  big: {kind: line, level: +20 dBu, max: +31.3 dBu, source: 0.1 ohm, load: 10 kohm}\ngear:\n  power: {outputs: {out1: big}}\n" +
				"bays:\n  main: {pairs: 1, modes: isolated}\nwiring: [power/out1 -> main/t1]\n",
			want: []string{"loudspeaker-on-bay warning 8:10"},
		},
		{
			name: "a session would patch a loudspeaker line",
			studio: "studio: Danger\ngear:\n  power: {outputs: {out1: loudspeaker}}\n  box: {inputs: {in1: loudspeaker}, role: loudspeaker, mute: {by: person, at: amplifier}}\n" +
				"bays:\n  main: {pairs: 2, modes: isolated}\n",
			session: session + "connect: [power/out1 -> box/in1]\n",
			want:    []string{"loudspeaker-on-bay error 2:11"},
		},
		{
			name:   "a two-pole plug at a balanced input",
			studio: studioOf("isolated", "wiring: [{from: main/b1, to: recorder/in1, plugs: [bare, TS]}]"),
			want:   []string{"plug-poles warning 9:10"},
		},
		{
			name:   "a phono plug by its other name",
			studio: studioOf("isolated", "wiring: [{from: synth/out1, to: main/t1, plugs: [rca, bare]}]"),
			want:   []string{"plug-poles warning 9:10"},
		},
		{
			name:   "a level given into a matched load has lost nothing there",
			studio: "studio: Matched\nlines: {old: {kind: line, level: +4 dBu, max: +24 dBu, source: 600 ohm, load: 600 ohm, balanced: transformer, level-into: 600 ohm}}\ngear: {player: {outputs: {out1: old}}, deck: {inputs: {in1: old}}}\nwiring: [player/out1 -> deck/in1]\n",
		},
		{
			name:   "a second input beyond the matched load is a load",
			studio: "studio: Matched\nlines: {old: {kind: line, level: +4 dBu, max: +24 dBu, source: 600 ohm, load: 600 ohm, balanced: transformer, level-into: 600 ohm}}\ngear: {player: {outputs: {out1: old}}, deck: {inputs: {in1-2: old}}}\nwiring: [player/out1 -> deck/in1-2]\n",
			want:   []string{"load-heavy advice 4:10"},
		},
		{
			name: "a two-pole cord between unbalanced gear",
			studio: "studio: Old gear\ngear:\n  synth: {outputs: {out1: home-line}}\n  cassette: {inputs: {in1: home-line}}\nbays:\n  main: {pairs: 2, modes: isolated}\n" +
				"wiring: [synth/out1 -> main/t1, main/b2 -> cassette/in1]\nrest: {cords: [{ends: [main/t1, main/b2], poles: 2}]}\n",
		},
		{
			name: "a tap of its own makes a session load an output",
			studio: "studio: A passive box\nlines:\n  weak: {kind: line, level: 0 dBu, max: +10 dBu, source: 3 kohm, load: 10 kohm, balanced: false}\ngear:\n  box: {outputs: {out1: weak}}\n  desk: {inputs: {in1-2: weak}}\n" +
				"bays:\n  main: {pairs: 2, modes: half-normal}\nwiring: [box/out1 -> main/t1, main/b1 -> desk/in1, main/b2 -> desk/in2]\n",
			session: session + "connect: [\"box/out1 -> [desk/in1, desk/in2]\"]\n",
			want:    []string{"load-heavy advice 9:31", "load-heavy advice 2:11"},
		},
		{
			name: "cords enough by number and not by length",
			studio: "studio: A wide bay\nbays:\n  main: {pairs: 24, jack: bantam, modes: isolated}\ncords: {stock: {20 cm: 4, 60 cm: 1}, slack: 10 cm}\n" +
				"rest: {cords: [main/t1 - main/b24, main/t2 - main/b23]}\n",
			want: []string{"stock-short warning 5:8"},
		},
		{
			name: "a cord that is written shorter than its way",
			studio: "studio: A wide bay\nbays:\n  main: {pairs: 24, jack: bantam, modes: isolated}\n" +
				"rest: {cords: [{ends: [main/t1, main/b24], length: 10 cm}]}\n",
			want: []string{"cord-too-short warning 4:16"},
		},
		{
			name: "cords for another kind of jack",
			studio: "studio: Strained\nbays:\n  main: {pairs: 4, jack: long-frame, modes: isolated}\n" +
				"cords: {stock: [{length: 60 cm, ends: [quarter-inch, quarter-inch], count: 4}]}\n",
			want: []string{"cord-too-short warning 4:9"},
		},
		{
			name: "a loudspeaker on a loop that a fader can close",
			studio: "studio: Round\ngear:\n  tape: {inputs: {in1: pro-line}, outputs: {out1-2: pro-line}, can-pass: [in1 => out1-2]}\n  speakers: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: person, at: cut}}\n" +
				"bays:\n  main: {pairs: 2, modes: half-normal}\nwiring: [tape/out1-2 -> main/t1-2, main/b1 -> tape/in1, main/b2 -> speakers/in1]\n",
			want: []string{"loop-possible warning 7:36", "howl-at-rest warning 7:57"},
		},
		{
			name:    "a howl that is meant",
			studio:  itself,
			session: session + "connect: [desk/mix1 -> desk/in1]\nallow: [loop desk/in1]\n",
		},
		{
			name:    "the software is said to carry nothing of it",
			studio:  itself,
			session: session + "connect: [desk/mix1 -> desk/in1]\ninside: [desk/in1 -> desk/cue1]\n",
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
