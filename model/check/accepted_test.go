package check_test

import (
	"strings"
	"testing"

	"bayhand/model/check"
	"bayhand/model/heard"
	"bayhand/model/text"
)

const domestic = `studio: Professional into domestic
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
		src := strings.NewReplacer("KIND", "transformer", "ACCEPT", accept).Replace(domestic)
		got, accepted := checked(t, src)
		if got != want || (want == "") != (accepted == 1) {
			t.Errorf("accept %q: %q is left and %d accepted, want %q", accept, got, accepted, want)
		}
	}
}

// An error cannot be accepted: it can damage something or cannot work.
func TestErrorsAreNotAccepted(t *testing.T) {
	const joined = "studio: Joined\ngear:\n  a: {outputs: {out1: pro-line}}\n  b: {outputs: {out1: pro-line}}\nbays:\n  main: {pairs: 2, modes: isolated}\n" +
		"wiring: [a/out1 -> main/t1, b/out1 -> main/t2]\nrest: {cords: [main/t1 - main/t2]}\naccept: [{finding: outputs-joined, because: it never sounded bad}]\n"
	if got, accepted := checked(t, joined); got != "outputs-joined accepted-nothing" || accepted != 0 {
		t.Errorf("%q is left, %d accepted", got, accepted)
	}
}

// An output that drives both legs loses half its voltage, 6.02 dB, where the cold one
// is grounded (Ballou, Handbook for Sound Engineers); a transformer does not. That is
// counted: 11.8 dB apart are 5.8 then, less than what is worth a word.
func TestTheGroundedLegCounts(t *testing.T) {
	for kind, want := range map[string]string{"active": "", "transformer": "level-differs", "cross-coupled": "level-differs", "true": "level-differs"} {
		src := strings.NewReplacer("KIND", kind, "ACCEPT", "").Replace(domestic)
		got, _ := checked(t, src)
		if strings.Contains(got, "level-differs") != (want != "") {
			t.Errorf("balanced: %s: %q", kind, got)
		}
	}
}
