package arrange

import (
	"slices"
	"testing"

	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// asking is a request with one session that asks for something.
func asking(t *testing.T, src, connect string) Request {
	t.Helper()
	s := readStudio(t, src)
	one, _, problems := text.ReadSession("one.yaml", []byte("session: One\nconnect:\n"+connect), s, nil)
	if problems.Errors() {
		t.Fatal(problems)
	}
	return Request{Studio: s, Sessions: []Weighted{{one, 1}}, Tidy: 5, Moves: -1}
}

func laidOut(t *testing.T, q Request) []Column {
	t.Helper()
	l, err := Lay(q)
	if err != nil {
		t.Fatal(err)
	}
	return l.Columns()
}

// Where modes are set four pairs at a time each four have one mode; where they are
// fixed they stay as they are.
func TestModesOfGroups(t *testing.T) {
	const gear = `studio: Groups
gear:
  desk: {outputs: {out1-3: pro-line}, inputs: {in1-3: pro-line}}
  unit: {channels: 2, line: pro-line}
bays:
`
	const wants = "  - desk/out1 -> unit/1 -> desk/in2\n"
	for _, c := range columnsByFour(laidOut(t, asking(t, gear+"  main: {pairs: 8, modes: isolated, set-modes: by 4}\n", wants))) {
		for _, one := range c {
			if one.Mode != c[0].Mode {
				t.Errorf("pair %d is %s and pair %d of the same group %s", one.Pair, one.Mode, c[0].Pair, c[0].Mode)
			}
		}
	}
	for _, c := range laidOut(t, asking(t, gear+"  main: {pairs: 8, modes: {1-2: half-normal, 3-8: isolated}, set-modes: fixed}\n", wants)) {
		wanted := studio.Isolated
		if c.Pair <= 2 {
			wanted = studio.HalfNormal
		}
		if c.Mode != wanted.String() {
			t.Errorf("pair %d is %s, and fixed as %s", c.Pair, c.Mode, wanted)
		}
	}
}

func columnsByFour(all []Column) (groups [][]Column) {
	for from := 0; from < len(all); from += 4 {
		groups = append(groups, all[from:from+4])
	}
	return groups
}

// No normal lets a loudspeaker play a microphone, even where every session asks for
// it (common practice, no published source).
func TestNoNormalFromAMicrophoneToALoudspeaker(t *testing.T) {
	q := asking(t, `studio: Hall
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: microphone}, outputs: {out1: pro-line}, passes: [mic1 -> out1]}
  hall: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: person, at: its amplifier}}
bays:
  main: {pairs: 8, modes: isolated}
`, "  - voice/out1 -> hall/in1\n")
	for _, c := range laidOut(t, q) {
		if c.Bottom.Owner == "hall" && c.Mode != studio.Isolated.String() {
			t.Errorf("%s over %s is %s", c.Top, c.Bottom, c.Mode)
		}
	}
}

// What the rules keep is let go by name, and never costs more without them.
func TestRulesCanBeLetGo(t *testing.T) {
	q := heron(t)
	q.Effort, q.Sessions = 1, []Weighted{{&session.Session{Name: "nothing", Program: -1}, 1}}
	l, err := Lay(q)
	if err != nil {
		t.Fatal(err)
	}
	saved, err := savings(q, l)
	if err != nil {
		t.Fatal(err)
	}
	if len(saved) != len(Rules()) {
		t.Errorf("%d rules are weighed, and there are %d", len(saved), len(Rules()))
	}
	price := q.price()
	for _, s := range saved {
		if price.plug*s.Plugs+price.line*int64(s.Lines) < 0 {
			t.Errorf("without %s it is dearer: %d plugs and %d lines saved", s.Rule, s.Plugs, s.Lines)
		}
	}
}

// A microphone has a full normal, since a tap would put a second input on it (common
// practice, no published source).
func TestMicrophonesAreNotTapped(t *testing.T) {
	q := asking(t, `studio: Hall
gear:
  mics: {outputs: {out1-2: microphone}}
  voice: {inputs: {mic1-2: {line: microphone, phantom: true}}, outputs: {out1-2: pro-line}}
bays:
  main: {pairs: 8, modes: isolated}
  voices: {pairs: 4, modes: isolated}
`, "  - mics/out1-2 -> voice/mic1-2\n")
	found := 0
	for _, c := range laidOut(t, q) {
		if c.Top.Owner == "mics" {
			found++
		}
		if c.Top.Owner == "mics" && c.Mode != studio.FullNormal.String() {
			t.Errorf("%s over %s is %s", c.Top, c.Bottom, c.Mode)
		}
		if (c.Top.Owner == "mics" || c.Bottom.Part == name.Whole && c.Bottom.Stem == "mic") != (c.Bay == "voices") && !c.Blank() {
			t.Errorf("%s over %s stands on %s", c.Top, c.Bottom, c.Bay)
		}
	}
	if found != 2 {
		t.Errorf("%d microphones stand on a bay", found)
	}
}

// Where microphone lines have no bay of their own they go straight to their preamplifiers,
// and check finds nothing; let go, the rule has them on the bay, with what check says.
func TestMicrophonesGoStraight(t *testing.T) {
	q := asking(t, `studio: Hall
gear:
  mics: {outputs: {out1-2: microphone}}
  voice: {inputs: {mic1-2: {line: microphone, phantom: true}}, outputs: {out1-2: pro-line}, passes: [mic1-2 -> out1-2]}
  tape: {inputs: {in1-2: pro-line}}
bays:
  main: {pairs: 8, modes: isolated}
`, "  - mics/out1-2 -> voice/mic1-2\n  - voice/out1-2 -> tape/in1-2\n")
	a, err := Propose(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	if got := StraightLines(a.Straight); len(got) != 1 || got[0] != "mics/out1-2 -> voice/mic1-2" {
		t.Errorf("straight go %v", got)
	}
	if len(a.Findings) != 0 || a.Sessions[0].Proposed != 0 || len(a.Unplaced) != 0 {
		t.Errorf("%v; %d plugs; no place for %v", a.Findings, a.Sessions[0].Proposed, a.Unplaced)
	}
	q.Waived = []Rule{KindsApart}
	if a, err = Propose(t.Context(), q); err != nil {
		t.Fatal(err)
	}
	if len(a.Straight) != 0 || len(a.Unplaced) != 0 || len(a.Findings) == 0 {
		t.Errorf("straight go %v, no place for %v, findings %v", a.Straight, a.Unplaced, a.Findings)
	}
}

// Where the upper row is too short, the rule that keeps outputs above says for how many
// ports it has no room; let go, they stand below, and the plugs are what the planner takes.
func TestOutputsBelow(t *testing.T) {
	q := asking(t, `studio: Full
gear:
  player: {outputs: {out1-2: pro-line}}
  tape: {outputs: {out1-2: pro-line}}
  synth: {outputs: {out1-2: pro-line}}
  desk: {inputs: {in1-2: pro-line}}
bays:
  main: {pairs: 4, modes: isolated}
`, "  - player/out1-2 -> desk/in1-2\n")
	other := *q.Sessions[0].Session
	other.Name, other.Wants = "two", clone(other.Wants)
	for n := range other.Wants {
		other.Wants[n].Source.Owner = "tape"
	}
	q.Sessions = append(q.Sessions, Weighted{&other, 1})
	with, err := Propose(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(with.Rules, func(s Saving) bool { return s.Rule == OutputsAbove })
	if len(with.Unplaced) != 2 || at < 0 || with.Rules[at].Places != 2 {
		t.Fatalf("no room for %v; the rules cost %v", with.Unplaced, with.Rules)
	}
	q.Waived = []Rule{OutputsAbove}
	without, err := Propose(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	if len(without.Unplaced) != 0 || !without.Plugs.Exact || without.Plugs.Proposed > with.Plugs.Proposed {
		t.Errorf("no room for %v, %+v plugs and %+v with the rule", without.Unplaced, without.Plugs, with.Plugs)
	}
	below := 0
	for _, w := range without.Layout.Apply().Wires {
		if w.To.Stem == studio.Bottom {
			below++
		}
	}
	if below != 2 {
		t.Errorf("%d outputs stand below", below)
	}
}
