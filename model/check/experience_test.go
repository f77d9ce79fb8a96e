package check_test

import (
	"slices"
	"strings"
	"testing"

	"bayhand/model/check"
)

// gearOf is a studio with gear of each sort; the lines after it are the test's.
func gearOf(bay string, lines ...string) string {
	return `studio: Of each sort
gear:
  synth: {outputs: {out1-2: pro-line}}
  drums: {outputs: {out1-2: pro-line}}
  desk: {inputs: {in1-2: pro-line}, inserts: {ins1-2: pro-line}, outputs: {mix1-2: pro-line}, passes: [in1-2 => mix1-2]}
  echo: {inputs: {in1: pro-line}, outputs: {out1: pro-line}, passes: [in1 -> out1]}
  rack: {inputs: {in1: pro-line}, outputs: {out1: pro-line}, passes: [in1 -> out1]}
  box: {inputs: {in1-2: pro-line}, outputs: {out1-2: pro-line}}
  bass: {outputs: {out1: instrument}}
  ribbon: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: {line: microphone, phantom: true}, line1: pro-line}, outputs: {out1: pro-line}, passes: [mic1 -> out1]}
  power: {label: power amplifier, inputs: {in1: pro-line}, outputs: {out1: loudspeaker}, passes: [in1 -> out1]}
  tape: {inputs: {in1-2: home-line}, outputs: {out1-2: home-line}}
  hall: {inputs: {in1-2: pro-line}, role: loudspeaker, mute: {by: person, at: its level}}
bays:
  main: {pairs: 8, modes: ` + bay + `}
` + strings.Join(lines, "\n") + "\n"
}

// What an experienced studio hand would find, item by item, each told in the
// trade's words: common practice, no published source, but where the manual of a
// rule names one. The example of a rule with nothing else is its own.
var experience = []struct {
	item                   string
	studio, session, other string
	code, severity         string
}{
	{item: "an output patched to an output", code: "outputs-joined", severity: "error",
		studio: gearOf("isolated", "wiring: [synth/out1 -> main/t1, drums/out1 -> main/t2]", "rest: {cords: [main/t1 - main/t2]}")},
	{item: "two sources on one input through a half-normal", code: "outputs-joined", severity: "error",
		studio: gearOf("half-normal", "wiring: [synth/out1 -> main/t1, main/b1 -> desk/in1, drums/out1 -> main/t2]", "rest: {cords: [main/t2 - main/t1]}")},
	{item: "two outputs on the jacks of a half-normal pair", code: "normal-joins-outputs", severity: "error",
		studio: gearOf("half-normal", "wiring: [synth/out1 -> main/t1, drums/out1 -> main/b1]")},
	{item: "two sources on one input through a parallel pair", code: "outputs-joined", severity: "error",
		studio: gearOf("parallel", "wiring: [synth/out1 -> main/t1, main/b1 -> desk/in1, drums/out1 -> main/t2]", "rest: {cords: [main/t2 - main/b1]}")},
	{item: "a mult fed twice", code: "mult-fed-twice", severity: "error",
		studio: gearOf("isolated", "wiring: [synth/out1 -> main/t1, drums/out1 -> main/t2]", "mults: [[main/t3, main/t4, main/t5]]", "rest: {cords: [main/t1 - main/t3, main/t2 - main/t4]}")},

	{item: "gear patched to itself, straight", code: "loop", severity: "warning",
		studio: gearOf("isolated", "wiring: [echo/out1 -> main/t1, main/b1 -> echo/in1]", "rest: {cords: [main/t1 - main/b1]}")},
	{item: "gear patched to itself, of which nothing says what it carries", code: "into-itself", severity: "warning",
		studio: gearOf("isolated", "wiring: [box/out1 -> main/t1, main/b1 -> box/in1]"), session: "session: Round\nconnect: [box/out1 -> box/in1]\n"},
	{item: "gear patched to itself through other gear", code: "loop", severity: "error",
		studio:  gearOf("isolated", "wiring: [echo/out1 -> main/t1, main/b1 -> rack/in1, rack/out1 -> main/t2, main/b2 -> echo/in1]"),
		session: "session: Round\nconnect: [echo/out1 -> rack/in1, rack/out1 -> echo/in1]\n"},
	{item: "gear patched to itself through a matrix", code: "loop", severity: "warning",
		studio: gearOf("isolated", "matrices: {grid: {inputs: 2, outputs: 2}}", "wiring: [echo/out1 -> grid/in1, grid/out1 -> echo/in1]", "rest: {crosspoints: {grid: {out1: in1}}}")},
	{item: "gear patched to itself through the software", code: "loop", severity: "error",
		studio:  gearOf("isolated", "wiring: [box/out1 -> main/t1, main/b1 -> echo/in1, echo/out1 -> main/t2, main/b2 -> box/in1]"),
		session: "session: Round\nconnect: [box/out1 -> echo -> box/in1]\ninside: [box/in1 -> box/out1]\n"},

	{item: "phantom power on a jack of a line bay", code: "phantom-on-line-bay", severity: "warning",
		studio: gearOf("isolated", "wiring: [main/b1 -> voice/mic1, synth/out1 -> main/t8]")},
	{item: "phantom power beside unbalanced jacks", code: "phantom-near-line", severity: "warning",
		studio: gearOf("isolated", "wiring: [main/b1 -> voice/mic1, tape/out1 -> main/t2]")},
	{item: "phantom power on any jack", code: "phantom-on-jack", severity: "advice"},
	{item: "phantom power on a path with a crosspoint", code: "phantom-crosspoint", severity: "warning"},
	{item: "a plug on a line with phantom power", code: "phantom-plug", severity: "warning"},
	{item: "a source that phantom power harms", code: "phantom-at-source", severity: "warning"},

	{item: "a loudspeaker-level output on a line bay is an error", code: "loudspeaker-on-bay", severity: "error"},
	{item: "the output of a mains-powered amplifier on a line bay is an error", code: "loudspeaker-on-bay", severity: "error",
		studio: gearOf("isolated", "wiring: [power/out1 -> main/t1, main/b2 -> hall/in1]")},

	{item: "an unbalanced plug at a balanced port", code: "plug-poles", severity: "warning"},
	{item: "a balanced output into an unbalanced input", code: "balance-lost", severity: "advice"},
	{item: "a two-pole cord that grounds a driven leg", code: "two-pole-grounds", severity: "warning"},
	{item: "two-pole cords where balanced lines are plugged", code: "stock-two-pole", severity: "advice"},

	{item: "professional level meets consumer level", code: "level-differs", severity: "advice",
		studio: gearOf("isolated", "wiring: [synth/out1 -> main/t1, main/b1 -> tape/in1]"), session: "session: To tape\nconnect: [synth/out1 -> tape/in1]\n"},
	{item: "an instrument meets a line input", code: "kind-differs", severity: "warning",
		studio: gearOf("isolated", "wiring: [bass/out1 -> main/t1, main/b1 -> desk/in1]"), session: "session: Bass\nconnect: [bass/out1 -> desk/in1]\n"},
	{item: "a microphone meets a line input", code: "kind-differs", severity: "warning",
		studio: gearOf("isolated", "wiring: [ribbon/out1 -> main/t1, main/b1 -> desk/in1]"), session: "session: Ribbon\nconnect: [ribbon/out1 -> desk/in1]\n"},
	{item: "inputs that load the source", code: "load-heavy", severity: "advice"},

	{item: "the source on the breaking jack", code: "source-breaks", severity: "warning",
		studio: gearOf("half-normal", "wiring: [synth/out1 -> main/b1, main/t1 -> desk/in1]")},
	{item: "a two-pole plug whose grounded leg reaches balanced gear through a tap", code: "two-pole-tap", severity: "warning"},

	{item: "a loudspeaker in the room of an open microphone", code: "open-microphone", severity: "warning"},
	{item: "a normal that feeds a loudspeaker from what can howl", code: "howl-at-rest", severity: "warning"},
	{item: "gear that is called a loudspeaker, and has no role", code: "role-unsaid", severity: "advice"},
	{item: "a loudspeaker that nothing mutes", code: "mute-unsaid", severity: "advice"},
	{item: "a loudspeaker whose mute is not in its way", code: "mute-elsewhere", severity: "warning"},

	{item: "insert send and return crosswise", code: "insert-apart", severity: "warning",
		studio: gearOf("half-normal", "wiring: [main/b1 -> desk/ins2.return, main/b2 -> desk/ins1.return, desk/ins1-2.send -> main/t1-2]")},
	{item: "insert send below and return above", code: "insert-apart", severity: "warning",
		studio: gearOf("half-normal", "wiring: [desk/ins1.send -> main/b1, main/t1 -> desk/ins1.return]")},
	{item: "insert send and return on different pairs", code: "insert-apart", severity: "warning",
		studio: gearOf("half-normal", "wiring: [desk/ins1.send -> main/t1, main/b3 -> desk/ins1.return]")},
	{item: "an insert on a pair that leaves the channel silent", code: "insert-open", severity: "warning",
		studio: gearOf("isolated", "wiring: [desk/ins1.send -> main/t1, main/b1 -> desk/ins1.return]")},
	{item: "an insert on a pair that nothing breaks", code: "insert-parallel", severity: "warning",
		studio: gearOf("parallel", "wiring: [desk/ins1.send -> main/t1, main/b1 -> desk/ins1.return]")},

	{item: "a full normal where a tap was surely meant", code: "tap-breaks", severity: "advice"},
	{item: "a half-normal over an output that must not be loaded", code: "tap-loads", severity: "advice"},
	{item: "an output on the bottom row", code: "output-below", severity: "advice"},
	{item: "left and right on far pairs", code: "stereo-apart", severity: "advice"},

	{item: "a destination asked twice", code: "asked-twice", severity: "error"},
	{item: "a source that does not exist any more", code: "unknown-name", severity: "error"},
	{item: "a chain that skips a piece of gear's own passes", code: "chain-skips-pass", severity: "warning"},
	{item: "a program on gear without MIDI", code: "no-midi", severity: "error"},
	{item: "sessions with the same program number", code: "program-twice", severity: "error"},
	{item: "a session that cannot be given in this studio", code: "not-given", severity: "error"},

	{item: "a matrix wider than its description", code: "matrix-too-wide", severity: "error"},
	{item: "a link used twice", code: "link-twice", severity: "error"},
	{item: "a jack wired twice", code: "jack-twice", severity: "warning"},
	{item: "an input wired twice", code: "input-twice", severity: "warning"},
	{item: "a port wired nowhere", code: "port-unwired", severity: "advice"},
	{item: "fewer dummies owned than plugged", code: "stock-short", severity: "warning",
		studio: gearOf("isolated", "dummies: 1", "rest: {dummies: [main/t1, main/t2]}")},
	{item: "fewer cords owned than plugged", code: "stock-short", severity: "warning",
		studio: gearOf("isolated", "cords: {stock: {60 cm: 1}}", "rest: {cords: [main/t1 - main/b1, main/t2 - main/b2]}")},
	{item: "no cord reaches", code: "cord-too-short", severity: "warning"},
}

// Each item is found, under the code of a rule that the manual has, with the
// severity that it deserves, at a place and with something to do.
func TestWhatAnExperiencedHandFinds(t *testing.T) {
	rules := check.Rules()
	for _, e := range experience {
		t.Run(e.item, func(t *testing.T) {
			at := slices.IndexFunc(rules, func(r check.Rule) bool { return r.Code == e.code })
			if at < 0 {
				t.Fatalf("the manual has no rule %s", e.code)
			}
			example := rules[at].Bad
			if e.studio != "" {
				example = check.Example{Studio: e.studio, Session: e.session, Other: e.other}
			}
			found := read(t, example)
			i := slices.IndexFunc(found, func(f check.Finding) bool { return f.Code == e.code && f.Severity == e.severity })
			if i < 0 {
				t.Fatalf("no %s of severity %s is found, but %v", e.code, e.severity, found)
			}
			if f := found[i]; f.Line < 1 || f.Column < 1 || f.Hint == "" || f.Message == "" {
				t.Errorf("%+v lacks a place, words, or what to do", f)
			}
		})
	}
}
