package text_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/text"
)

const passing = `studio: Gear described by what it passes
gear:
  desk:  {outputs: {out1-8: pro-line}, inputs: {in1-8: pro-line}}
  delay: {inputs: {in1-2: pro-line}, outputs: {out1-2: pro-line}, passes: [in1-2 -> out1-2]}
  tape:  {inputs: {line1-2: pro-line}, outputs: {play1-2: pro-line}, passes: [line1-2 -> play1-2]}
  hall:  {inputs: {in1-2: pro-line}, outputs: {out1-2: pro-line}, passes: [in1-2 => out1-2]}
`

// A channel may be named where gear passes one input to one output of its number and
// nothing else to either; elsewhere the message shows the legal lines.
func TestHopsThroughPasses(t *testing.T) {
	room, _, problems := text.ReadStudio("studio.yaml", []byte(passing))
	if problems != nil {
		t.Fatal(problems)
	}
	read := func(line string) ([]string, text.Problems) {
		s, _, problems := text.ReadSession("one.yaml", []byte("session: one\nconnect:\n  - "+line+"\n"), room, nil)
		return short(s.Wants), problems
	}
	got, problems := read("desk/out1-2 -> delay/1-2 -> tape/1-2 -> desk/in1-2")
	want := []string{
		"0.0 desk/out1 -> delay/in1", "1.0 desk/out2 -> delay/in2",
		"0.1 delay/out1 -> tape/line1", "1.1 delay/out2 -> tape/line2",
		"0.2 tape/play1 -> desk/in1", "1.2 tape/play2 -> desk/in2",
	}
	if diff := cmp.Diff(want, got); diff != "" || problems != nil {
		t.Errorf("%v (-want +got):\n%s", problems, diff)
	}
	for _, line := range []string{"desk/out1-2 -> hall/1-2 -> desk/in1-2", "desk/out1-2 -> hall/in1-2 -> desk/in1-2"} {
		_, problems = read(line)
		if hint := "end a line with -> hall/in1-2, and begin another with hall/out1-2 ->"; len(problems) != 1 || problems[0].Hint != hint {
			t.Errorf("%s: %v, want the hint %q", line, problems, hint)
		}
	}
	if _, problems = read("desk/out1 -> delay/in1 -> desk/in1"); len(problems) != 1 || problems[0].Hint != "write delay/1 for the channel" {
		t.Errorf("an input in the middle: %v", problems)
	}
}

// A line to the same destination replaces the whole way there, but not what another
// branch of it still needs.
func TestLikeReplacesTheWholeWay(t *testing.T) {
	room, _, _ := text.ReadStudio("studio.yaml", []byte(passing))
	const base = "session: base\nconnect:\n  - desk/out1 -> delay/1 -> tape/1 -> desk/in1\n  - desk/out2 -> delay/2 -> [desk/in2, tape/2 -> desk/in4]\n"
	open := func(string) (string, []byte, error) { return "base.yaml", []byte(base), nil }
	for own, want := range map[string][]string{
		"desk/out5 -> desk/in1": {
			"1.0 desk/out2 -> delay/in2", "1.1 delay/out2 -> desk/in2", "1.1 delay/out2 -> tape/line2", "1.2 tape/play2 -> desk/in4",
			"2.0 desk/out5 -> desk/in1",
		},
		"desk/out5 -> desk/in4": {
			"0.0 desk/out1 -> delay/in1", "0.1 delay/out1 -> tape/line1", "0.2 tape/play1 -> desk/in1",
			"1.0 desk/out2 -> delay/in2", "1.1 delay/out2 -> desk/in2",
			"2.0 desk/out5 -> desk/in4",
		},
		"desk/out5 -> tape/1": {
			"0.2 tape/play1 -> desk/in1",
			"1.0 desk/out2 -> delay/in2", "1.1 delay/out2 -> desk/in2", "1.1 delay/out2 -> tape/line2", "1.2 tape/play2 -> desk/in4",
			"2.0 desk/out5 -> tape/line1",
		},
	} {
		s, _, problems := text.ReadSession("own.yaml", []byte("session: own\nlike: base\nconnect:\n  - "+own+"\n"), room, open)
		if diff := cmp.Diff(want, short(s.Wants)); diff != "" || problems != nil {
			t.Errorf("%s: %v (-want +got):\n%s", own, problems, diff)
		}
	}
}
