package text_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/text"
)

func readSession(t testing.TB, file string) (*session.Session, text.Places) {
	t.Helper()
	s := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	found, places, problems := text.ReadSession(file, read(t, file), s, beside("testdata/ok/boathouse"))
	if problems != nil {
		t.Fatal(problems)
	}
	return found, places
}

// short writes wants in a line each: chain.hop source -> destination.
func short(wants []session.Want) []string {
	var lines []string
	for _, w := range wants {
		line := fmt.Sprintf("%d.%d %s -> %s", w.Chain, w.Hop, w.Source, w.Destination)
		if w.Label != "" {
			line += " (" + w.Label + ")"
		}
		if w.Keep {
			line += " keep"
		}
		if len(w.Via)+len(w.Avoid) > 0 {
			line += " via " + strings.Join(w.Via, ",") + " avoid " + strings.Join(w.Avoid, ",")
		}
		lines = append(lines, line)
	}
	return lines
}

func TestWantsAreExpanded(t *testing.T) {
	s, _ := readSession(t, "testdata/ok/boathouse/session-first.yaml")
	want := []string{
		"0.0 interface/out7 -> bus/in1 (vocal)",
		"1.0 interface/out1 -> squeeze/in1",
		"1.1 squeeze/out1 -> interface/in1",
		"2.0 interface/out3 -> recorder/in1",
		"3.0 interface/out4 -> recorder/in2",
		"2.0 interface/out3 -> speakers/in1",
		"3.0 interface/out4 -> speakers/in2",
		"4.0 interface/out5 -> plate/in1 via grid avoid ",
		"5.0 plate/out1 -> interface/in7",
		"6.0 plate/out2 -> interface/in8",
		"7.0 desk/ins1.send -> squeeze/in2",
		"7.1 squeeze/out2 -> desk/ins1.return",
		"8.0 interface/out9 -> tank/in1",
		"8.1 tank/out1 -> interface/in9",
		"8.1 tank/out1 -> opto/in1",
		"8.2 opto/out1 -> interface/in10",
		"8.2 opto/out1 -> interface/in11",
		"9.0 talkback/out1 -> cue/in2 keep",
	}
	if diff := cmp.Diff(want, short(s.Wants)); diff != "" {
		t.Errorf("wants (-want +got):\n%s", diff)
	}
}

func TestTheRestOfASession(t *testing.T) {
	s, _ := readSession(t, "testdata/ok/boathouse/session-first.yaml")
	s.Wants = nil
	want := &session.Session{
		Name: "session-first", Title: "Tern Quartet, first mix", Program: 12,
		Silent: []name.Point{point(t, "cue/in1")},
		Cut:    []string{"speakers"},
		Loops:  []name.Point{point(t, "bus/mix1")},
		Inside: s.Inside,
		// The panel of tank counts from 1, so its 128 is 127 on the wire.
		Programs: []session.Program{{Gear: "plate", Number: 7}, {Gear: "tank", Number: 127}},
		Pictures: []session.Picture{
			{Gear: "squeeze", File: "pictures/squeeze.jpg", Key: "pictures.squeeze"},
			{Gear: "plate", File: "plate.PNG", Key: "pictures.plate"},
		},
		Settings: []session.Settings{
			{Gear: "squeeze", Values: []session.Setting{{Name: "threshold", Value: "-12 dB"}, {Name: "ratio", Value: "4:1"}, {Name: "knee", Value: "off"}}},
			{Gear: "plate", Values: []session.Setting{{Name: "decay", Value: "012"}}},
		},
		Notes: "Vocal chain as on the first mix.",
		Patch: &patch.Patch{Cords: []patch.Cord{{A: point(t, "main/t1"), B: point(t, "main/b25")}}},
	}
	if diff := cmp.Diff(want, s); diff != "" {
		t.Errorf("session (-want +got):\n%s", diff)
	}
	if len(s.Inside) != 1 || s.Inside[0].In != point(t, "interface/in1") || s.Inside[0].Out != point(t, "interface/out3") {
		t.Errorf("inside is %v", s.Inside)
	}
}

// A session like another: its lines replace those to the same destination.
func TestLike(t *testing.T) {
	s, places := readSession(t, "testdata/ok/boathouse/session-second.yaml")
	lines := short(s.Wants)
	for _, want := range []string{
		"0.0 interface/out7 -> bus/in1 (vocal)",      // from the first
		"1.1 squeeze/out1 -> interface/in1",          // the other half of a chain that was replaced in part
		"10.0 interface/out2 -> squeeze/in1 (Geige)", // here
	} {
		if !strings.Contains(strings.Join(lines, "\n")+"\n", want+"\n") {
			t.Errorf("no %s in\n%s", want, strings.Join(lines, "\n"))
		}
	}
	seen := map[name.Point]bool{}
	for _, w := range s.Wants {
		if seen[w.Destination] {
			t.Errorf("%s is asked for twice", w.Destination)
		}
		seen[w.Destination] = true
		place, ok := places.Of(w.Key)
		from := strings.HasPrefix(w.Key, "like.")
		if !ok || strings.HasSuffix(place.File, "session-first.yaml") != from {
			t.Errorf("the place of %s is %v", w.Key, place)
		}
	}
	if s.Program != -1 || s.Patch != nil {
		t.Errorf("program %d and patch %v came over, which are a session's own", s.Program, s.Patch)
	}
	knobs := []session.Setting{{Name: "ratio", Value: "4:1"}, {Name: "knee", Value: "off"}, {Name: "threshold", Value: "-8 dB"}}
	for _, v := range s.Settings {
		if v.Gear == "squeeze" {
			if diff := cmp.Diff(knobs, v.Values); diff != "" {
				t.Errorf("settings of squeeze (-want +got):\n%s", diff)
			}
		}
	}
	if len(s.Silent) != 1 || len(s.Cut) != 1 || len(s.Loops) != 1 || s.Notes == "" || len(s.Programs) != 2 {
		t.Errorf("what the first session says beside is lost: %+v", s)
	}
}

func TestSilenceAgainstTheBase(t *testing.T) {
	room := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	open := func(string) (string, []byte, error) {
		return "base.yaml", []byte("session: base\nconnect: [synth/out1 -> interface/in1, synth/out2 -> interface/in2]\nsilent: [cue/in1-2]\n"), nil
	}
	s, _, problems := text.ReadSession("dir/own.yaml", []byte("session: own\nlike: base\nconnect: [talkback/out1 -> cue/in1]\nsilent: [interface/in2]\n"), room, open)
	if problems != nil {
		t.Fatal(problems)
	}
	if diff := cmp.Diff([]string{"0.0 synth/out1 -> interface/in1", "1.0 talkback/out1 -> cue/in1"}, short(s.Wants)); diff != "" {
		t.Errorf("wants (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]name.Point{point(t, "cue/in2"), point(t, "interface/in2")}, s.Silent); diff != "" {
		t.Errorf("silent (-want +got):\n%s", diff)
	}
	if s.Name != "own" || s.Like != "base" {
		t.Errorf("the session is called %q, like %q", s.Name, s.Like)
	}
}

func TestLikeEnds(t *testing.T) {
	room := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	opened := 0
	open := func(string) (string, []byte, error) {
		opened++
		return fmt.Sprintf("%d.yaml", opened), []byte("session: x\nlike: next\n"), nil
	}
	_, _, problems := text.ReadSession("own.yaml", []byte("session: own\nlike: next\n"), room, open)
	if len(problems) != 1 || problems[0].Code != "like" || opened > 20 {
		t.Errorf("%d sessions were opened, problems are %v", opened, problems)
	}
}

func TestLikeWithoutAnOpener(t *testing.T) {
	room := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	_, _, problems := text.ReadSession("own.yaml", []byte("session: own\nlike: base\n"), room, nil)
	if len(problems) != 1 || problems[0].Line != 2 || problems[0].Column != 7 {
		t.Errorf("problems are %v", problems)
	}
}

// The patch that is kept in a session may be older than the studio. Then there is one
// piece of advice, the session is read without it, and what was mistyped is an error all the same.
func TestOutdatedPatch(t *testing.T) {
	studio := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	const head = "session: Mix\nconnect: [interface/out1 -> interface/in1]\n"
	many := "patch: {crosspoints: {grid: {"
	for n := range 200 {
		many += fmt.Sprintf("out%d: in1, ", 100+n)
	}
	for what, c := range map[string]struct {
		patch, warns string
		errors       bool
	}{
		"a jack":        {"patch: {cords: [main/t1 - main/b99, main/t2 - main/b98]}", "the bay main has no b99", false},
		"a bay":         {"patch: {dummies: [side/b4]}", "nothing in the studio is called side", false},
		"gear":          {"patch: {leads: [harp/out1 - main/t1]}", "nothing in the studio is called harp", false},
		"a matrix":      {"patch: {crosspoints: {cross: {out1: in1}}}", `no matrix is called "cross"`, false},
		"an input":      {"patch: {crosspoints: {grid: {out1: in99}}}", "the matrix grid has no in99", false},
		"many outputs":  {many + "}}}", "the matrix grid has no out100", false},
		"another thing": {"patch: {dummies: [interface/in1]}", "interface/in1 is an input", false},
		"mistyped":      {"patch: {cord: [main/t1 - main/b99], dummies: [main/b99]}", "", true},
		"twice":         {"patch: {dummies: [main/b4, main/b4]}", "", true},
		"nothing wrong": {"patch: {dummies: [main/b4]}", "", false},
	} {
		s, _, problems := text.ReadSession("mix.yaml", []byte(head+c.patch+"\n"), studio, nil)
		switch {
		case problems.Errors() != c.errors:
			t.Errorf("%s: %v", what, problems)
		case c.errors:
		case c.warns == "" && (len(problems) > 0 || s.Patch == nil):
			t.Errorf("%s: %v, %v", what, problems, s.Patch)
		case c.warns != "" && (len(problems) != 1 || problems[0].Severity != text.Advice || problems[0].Line != 3 ||
			!strings.Contains(problems[0].Message, c.warns) || s.Patch != nil || len(s.Wants) != 1):
			t.Errorf("%s: %v, %v, %v", what, problems, s.Patch, s.Wants)
		}
	}
}
