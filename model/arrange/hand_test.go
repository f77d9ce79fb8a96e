package arrange

import (
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/text"
)

// handRoom is a room that is not wired yet, with its sessions.
type handRoom struct {
	name, studio string
	sessions     []string
}

// handRooms are three rooms whose maps were read column by column: one bay at home with
// microphones, a project studio with two bays, and two rooms with a multicore between.
var handRooms = []handRoom{
	{"home", `studio: Attic
gear:
  mics: {outputs: {out1-4: microphone}}
  interface: {outputs: {out1-8: pro-line}, inputs: {mic1-4: {line: microphone, phantom: true}, in5-8: pro-line}}
  synth: {outputs: {out1-2: pro-line}}
  drums: {outputs: {out1-4: pro-line}}
  tape: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}
  squeeze: {channels: 2, line: pro-line}
  echo: {inputs: {in1: pro-line}, outputs: {out1-2: pro-line}, passes: [in1 => out1-2]}
  monitors: {inputs: {in1-2: pro-line}, role: loudspeaker, mute: {by: person, at: knob}}
  phones: {inputs: {in1-2: pro-line}, role: headphone, mute: {by: person, at: knob}}
bays:
  main: {pairs: 24, modes: isolated}
`, []string{
		`session: Mix
weight: 2
connect:
  - interface/out1-2 -> [monitors/in1-2, tape/in1-2]
  - interface/out5-6 -> squeeze/1-2 -> interface/in5-6
  - interface/out7 -> echo/in1
  - echo/out1-2 -> interface/in7-8
`,
		`session: Overdub
connect:
  - mics/out1 -> interface/mic1
  - synth/out1-2 -> squeeze/1-2 -> interface/in5-6
  - interface/out1-2 -> monitors/in1-2
  - interface/out3-4 -> phones/in1-2
`,
		`session: From tape
connect:
  - tape/out1-2 -> interface/in7-8
  - interface/out1-2 -> monitors/in1-2
`,
		`session: Track
connect:
  - mics/out1-4 -> interface/mic1-4
  - synth/out1-2 -> interface/in5-6
  - drums/out1-2 -> interface/in7-8
  - interface/out1-2 -> [monitors/in1-2, phones/in1-2]
`,
	}},
	{"project", `studio: Project
gear:
  desk: {inserts: {ins1-8: pro-line}, inputs: {in1-16: pro-line}, outputs: {mix1-2: pro-line, aux1-4: pro-line, mon1-2: pro-line}, passes: [in1-8 -> ins1-8.send]}
  recorder: {inputs: {in1-16: pro-line}, outputs: {out1-16: pro-line}}
  preamps: {outputs: {out1-8: pro-line}}
  comp: {channels: 2, line: pro-line}
  eq: {channels: 2, line: pro-line}
  gate: {channels: 4, line: pro-line}
  hall: {inputs: {in1: pro-line}, outputs: {out1-2: pro-line}, passes: [in1 => out1-2]}
  delay: {inputs: {in1: pro-line}, outputs: {out1-2: pro-line}, passes: [in1 => out1-2]}
  synths: {outputs: {out1-6: pro-line}}
  master: {inputs: {in1-2: pro-line}, outputs: {out1-2: pro-line}}
  monitors: {inputs: {in1-2: pro-line}, role: loudspeaker, mute: {by: person, at: knob}}
  phones: {inputs: {in1-2: pro-line}, role: headphone, mute: {by: person, at: knob}}
bays:
  upper: {pairs: 48, modes: isolated}
  lower: {pairs: 24, modes: isolated}
`, []string{
		`session: Mix
weight: 2
connect:
  - recorder/out1-12 -> desk/in1-12
  - desk/aux3 -> hall/in1
  - hall/out1-2 -> desk/in13-14
  - desk/aux4 -> delay/in1
  - delay/out1-2 -> desk/in15-16
  - desk/mix1-2 -> master/in1-2
  - desk/mon1-2 -> monitors/in1-2
  - desk/ins1.send -> comp/1 -> desk/ins1.return
  - desk/ins2.send -> eq/1 -> desk/ins2.return
`,
		`session: Synths
connect:
  - synths/out1-6 -> recorder/in9-14
  - recorder/out1-16 -> desk/in1-16
  - desk/mon1-2 -> monitors/in1-2
`,
		`session: Track
weight: 3
connect:
  - preamps/out1-8 -> recorder/in1-8
  - recorder/out1-16 -> desk/in1-16
  - desk/mon1-2 -> monitors/in1-2
  - desk/aux1-2 -> phones/in1-2
`,
		`session: Vocals
connect:
  - preamps/out1 -> comp/1 -> recorder/in1
  - recorder/out1-16 -> desk/in1-16
  - desk/mon1-2 -> monitors/in1-2
  - desk/aux1-2 -> phones/in1-2
`,
	}},
	{"two rooms", `studio: Two rooms
gear:
  console: {inputs: {in1-12: pro-line}, outputs: {out1-8: pro-line, cue1-2: pro-line}, place: {x: 1 m, y: 80 cm}}
  machine: {inputs: {in1-8: pro-line}, outputs: {out1-8: pro-line}, place: {x: 2 m, y: 80 cm}}
  limiter: {channels: 2, line: pro-line, place: {x: 1 m, y: 1 m}}
  speakers: {inputs: {in1-2: pro-line}, role: loudspeaker, mute: {by: person, at: knob}, place: {x: 1 m, y: 1 m}}
  keys: {outputs: {out1-4: pro-line}, place: {x: 12 m, y: 80 cm}}
  cues: {inputs: {in1-2: pro-line}, role: headphone, mute: {by: person, at: knob}, place: {x: 13 m, y: 80 cm}}
bays:
  control: {pairs: 32, modes: isolated, at: {x: 0 m, y: 1 m}}
  live: {pairs: 16, modes: isolated, at: {x: 12 m, y: 1 m}}
ties:
  - {from: control/t25-32, to: live/t9-16}
`, []string{
		`session: Keys
connect:
  - keys/out1-4 -> console/in1-4
  - machine/out5-8 -> console/in5-8
  - console/cue1-2 -> cues/in1-2
  - console/out1-2 -> speakers/in1-2
`,
		`session: Mixdown
weight: 2
connect:
  - machine/out1-8 -> console/in1-8
  - console/out1-2 -> limiter/1-2 -> machine/in1-2
  - console/out3-4 -> speakers/in1-2
`,
	}},
}

// A bay reads as a careful person lays it out: blanks at its end, the ports of one
// direction of a gear ascending, left beside right, no finding that was not there, and a
// reason for each column (common practice, no published source).
func TestReadsLikeACarefulHand(t *testing.T) {
	for _, room := range handRooms {
		t.Run(room.name, func(t *testing.T) {
			q := Request{Studio: readStudio(t, room.studio), Tidy: 5, Moves: -1, Effort: 2}
			for _, src := range room.sessions {
				s, _, problems := text.ReadSession("session.yaml", []byte(src), q.Studio, nil)
				if problems.Errors() {
					t.Fatal(problems)
				}
				q.Sessions = append(q.Sessions, Weighted{s, max(1, s.Weight)})
			}
			l, err := Lay(q)
			if err != nil {
				t.Fatal(err)
			}
			if found := Findings(q.Studio, l.Apply()); len(found) > 0 {
				t.Errorf("check finds what it did not find before: %v", found)
			}
			if left := l.Left(); len(left) > 0 {
				t.Errorf("no room for %v", left)
			}
			readColumns(t, l.Columns())
		})
	}
}

func readColumns(t *testing.T, all []Column) {
	t.Helper()
	for _, r := range Runs(all) {
		t.Log(r.Bay, r.Pairs(), r.Top, r.Bottom, r.Because)
	}
	last, blank := map[string]name.Point{}, ""
	for _, c := range all {
		if c.Because == "" {
			t.Errorf("%s %d has no reason", c.Bay, c.Pair)
		}
		if c.Blank() {
			blank = c.Bay
			continue
		}
		if blank == c.Bay {
			t.Errorf("%s %d stands behind a blank", c.Bay, c.Pair)
		}
		for _, p := range []name.Point{c.Top, c.Bottom} {
			of := c.Bay + p.Owner + p.Stem
			if p.IsZero() || p.Part != name.Whole {
				continue
			}
			if was, has := last[of]; has && was.Number > p.Number {
				t.Errorf("%s stands to the right of %s on %s", p, was, c.Bay)
			}
			last[of] = p
		}
	}
}

// A pair that is always joined and has nothing at its rear is a mult of two, and no room
// for gear that comes.
func TestJoinedPairIsNoSpare(t *testing.T) {
	q := asking(t, "studio: Small\ngear:\n  desk: {outputs: {out1-2: pro-line}}\n  tape: {inputs: {in1-2: pro-line}}\nbays:\n  main: {pairs: 8, modes: {1-7: isolated, 8: parallel}}\n", "  - desk/out1-2 -> tape/in1-2\n")
	columns := laidOut(t, q)
	last := columns[len(columns)-1]
	if !last.Blank() || last.Mode != "parallel" || !strings.Contains(last.Because, "mult of two") {
		t.Errorf("the last column is %+v", last)
	}
}
