package check_test

import (
	"math"
	"strings"
	"testing"

	"bayhand/model/check"
	"bayhand/model/heard"
	"bayhand/model/level"
	"bayhand/model/name"
	"bayhand/model/text"
)

const consumer = `studio: Professional into consumer
gear:
  desk: {outputs: {mix1-2: {line: pro-line, balanced: KIND}}}
  cassette: {inputs: {in1-2: home-line}}
bays:
  main: {pairs: 2, modes: half-normal}
wiring:
  - desk/mix1-2 -> main/t1-2
  - main/b1-2 -> cassette/in1-2
accept: [ACCEPT]
`

// checked are the codes of what is left to say of a studio, and how many were
// accepted.
func checked(t *testing.T, src string) (codes string, accepted int) {
	t.Helper()
	s, places, problems := text.ReadStudio("studio.yaml", []byte(src))
	if problems != nil {
		t.Fatal(problems)
	}
	all := check.Studio(heard.NewRoom(s), places)
	left, accepted := check.Accept(all, s.Accepted)
	for _, f := range append(left, check.Unmet(all, s.Accepted, places)...) {
		codes += f.Code + " "
	}
	return strings.TrimSpace(codes), accepted
}

// An acceptance is of the very finding: its code and the points that it names.
func TestAccept(t *testing.T) {
	for accept, want := range map[string]string{
		"": "level-differs",
		"{finding: level-differs, at: cassette/in1-2, because: a box}": "",
		"{finding: level-differs, at: desk/mix1-2, because: a box}":    "",
		"{finding: level-differs, because: everywhere}":                "",
		"{finding: level-differs, at: cassette/in1, because: a box}":   "level-differs accepted-nothing",
		"{finding: level-differs, at: cassette, because: a box}":       "level-differs accepted-nothing",
		"{finding: tap-loads, at: cassette/in1-2, because: a box}":     "level-differs accepted-nothing",
	} {
		src := strings.NewReplacer("KIND", "transformer", "ACCEPT", accept).Replace(consumer)
		got, accepted := checked(t, src)
		if got != want || (want == "") != (accepted == 1) {
			t.Errorf("accept %q: %q is left and %d accepted, want %q", accept, got, accepted, want)
		}
	}
}

// An error cannot be accepted: it can damage something or cannot work.
// The rules say what package level works out, as levels prints it. A consumer output of
// 1 kohm at -10 dBV into a balanced input of 10 kohm arrives 12.609 dB under +4 dBu:
// 11.782 dB between the levels, and 0.828 dB by the voltage divider (Ballou, Handbook
// for Sound Engineers); one of 2 kohm into three such inputs loses 4.082 dB.
func TestRulesSayWhatLevelsSay(t *testing.T) {
	s, places, problems := text.ReadStudio("studio.yaml", []byte(`studio: As levels has it
lines: {old-line: {kind: line, level: +4 dBu, max: +20 dBu, source: 2 kohm, load: 10 kohm, balanced: true}}
gear:
  plate: {outputs: {out1: home-line}}
  tape: {inputs: {in1: pro-line}}
  player: {outputs: {out1: old-line}}
  deck: {inputs: {in1-3: old-line}}
wiring: [plate/out1 -> tape/in1, player/out1 -> deck/in1, player/out1 -> deck/in2, player/out1 -> deck/in3]
`))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	room := heard.NewRoom(s)
	all := level.New(room, s.Rest, level.Options{Quick: true})
	for at, want := range map[string][2]float64{"tape": {-12.609, 0.828}, "deck": {-4.082, 4.082}} {
		a := all.At(name.At(at, "in", 1))[0]
		if math.Abs(a.Over.Low-want[0]) > 0.001 || math.Abs(a.Loading()-want[1]) > 0.001 {
			t.Errorf("%s is %.3f dB over, with %.3f dB taken by the load; want %v", at, a.Over.Low, a.Loading(), want)
		}
	}
	said := ""
	for _, f := range check.Studio(room, places) {
		said += f.Code + ": " + f.Message + "\n"
	}
	for _, want := range []string{"level-differs: plate/out1 (home-line) is 12.6 dB below the working level of tape/in1 (pro-line)", "load-heavy: player/out1 (2 kohm) into 3.333 kohm: 4.1 dB are lost at deck/in1-3"} {
		if !strings.Contains(said, want+"\n") {
			t.Errorf("%q is not among\n%s", want, said)
		}
	}
}

func TestErrorsAreNotAccepted(t *testing.T) {
	const joined = "studio: Joined\ngear:\n  a: {outputs: {out1: pro-line}}\n  b: {outputs: {out1: pro-line}}\nbays:\n  main: {pairs: 2, modes: isolated}\n" +
		"wiring: [a/out1 -> main/t1, b/out1 -> main/t2]\nrest: {cords: [main/t1 - main/t2]}\naccept: [{finding: outputs-joined, because: it never sounded bad}]\n"
	if got, accepted := checked(t, joined); got != "outputs-joined accepted-nothing" || accepted != 0 {
		t.Errorf("%q is left, %d accepted", got, accepted)
	}
}

// That a line has the numbers of a power amplifier may be meant: a line driver with them can be
// accepted, which a line that the file calls one of loudspeakers can not.
func TestALineDriverIsAccepted(t *testing.T) {
	const src = `studio: A strong line driver
lines:
  driver: {kind: KIND, level: +4 dBu, max: +27 dBu, source: 4 ohm, load: 10 kohm}
gear:
  far: {outputs: {out1: driver}}
bays:
  main: {pairs: 1, modes: isolated}
wiring:
  - far/out1 -> main/t1
accept: [{finding: loudspeaker-on-bay, at: far/out1, because: it drives 100 m of cable}]
`
	for kind, want := range map[string]string{"line": "", "loudspeaker": "loudspeaker-on-bay accepted-nothing"} {
		got, accepted := checked(t, strings.Replace(src, "KIND", kind, 1))
		if got != want || (want == "") != (accepted == 1) {
			t.Errorf("kind %s: %q is left and %d accepted, want %q", kind, got, accepted, want)
		}
	}
}

// An output that drives both legs loses half its voltage, 6.02 dB, where the cold one
// is grounded (Ballou, Handbook for Sound Engineers); a transformer does not. That is
// counted: 11.8 dB apart are 5.8 then, less than what is worth a word.
func TestTheGroundedLegCounts(t *testing.T) {
	for kind, want := range map[string]string{"active": "", "transformer": "level-differs", "cross-coupled": "level-differs", "true": "level-differs"} {
		src := strings.NewReplacer("KIND", kind, "ACCEPT", "").Replace(consumer)
		got, _ := checked(t, src)
		if strings.Contains(got, "level-differs") != (want != "") {
			t.Errorf("balanced: %s: %q", kind, got)
		}
	}
}
