package capture_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"bayhand/model/capture"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

const busStudio = `studio: A bus with two pairs of outputs, and a box
gear:
  bus: {inputs: {in1: pro-line}, outputs: {mix1: pro-line, alt1: pro-line}, passes: [in1 => mix1, in1 => alt1], select: [[mix1, alt1]]}
  tape: {inputs: {in1-2: pro-line}, outputs: {out1-2: pro-line}, passes: [in1-2 -> out1-2]}
bays:
  main: {pairs: 6, modes: {1-4: isolated, 5-6: half-normal}}
boxes:
  floor-a: {jacks: 1, jack: xlr}
matrices:
  grid: {inputs: 2, outputs: 1, kind: contacts}
wiring:
  - bus/mix1 -> main/t1
  - bus/alt1 -> main/t2
  - main/b1-2 -> tape/in1-2
  - tape/out1 -> main/t3
  - main/b3 -> bus/in1
  - tape/out2 -> main/t5
  - main/b5 -> grid/in1
  - main/t4 -> grid/in2
ties: [floor-a/1 = main/b4]
`

func readStudio(t *testing.T, src string) *studio.Studio {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(src))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return s
}

// The switch of gear stands where its outputs are heard.
func TestSwitchesAreTurned(t *testing.T) {
	room := heard.NewRoom(readStudio(t, busStudio))
	for _, c := range []struct {
		patch      patch.Patch
		before     string
		selections string
		notes      []string
	}{
		{cords("main/t1", "main/b1"), "", "", nil},
		{cords("main/t2", "main/b2"), "", "alt1", nil},
		{cords("main/t2", "main/b2"), "alt1", "alt1", nil},
		{cords("main/t1", "main/b1"), "alt1", "mix1", nil},
		{patch.Patch{}, "alt1", "alt1", nil},
		{cords("main/t1", "main/b1", "main/t2", "main/b2"), "", "", []string{"tape/in2 was patched to bus/alt1, which is not selected"}},
	} {
		in := &session.Session{}
		if c.before != "" {
			in.Selections = []session.Selection{{Gear: "bus", Ports: []name.Point{point("bus/" + c.before)}}}
		}
		got := capture.Within(room, in, c.patch, "now")
		var turned []string
		for _, s := range got.Selections {
			turned = append(turned, s.Ports[0].Port())
		}
		if strings.Join(turned, " ") != c.selections {
			t.Errorf("%v after %q: selects %v, not %q", c.patch.Cords, c.before, turned, c.selections)
		}
		notes(t, got.Notes, c.notes)
	}
}

func notes(t *testing.T, got string, want []string) {
	t.Helper()
	if want == nil && got != "" {
		t.Errorf("noted %q", got)
	}
	for _, w := range want {
		if !strings.Contains(got, w) {
			t.Errorf("noted %q, without %q", got, w)
		}
	}
}

// What no session can ask for is noted.
func TestLoopsAndPairsOfCrosspointsAreNoted(t *testing.T) {
	room := heard.NewRoom(readStudio(t, busStudio))
	round := cords("main/t1", "main/b1", "main/t3", "main/b3")
	notes(t, capture.Session(room, round, "now").Notes, []string{"captured with a loop through bus/in1", "write allow: [loop bus/in1]"})
	meant := &session.Session{Loops: []name.Point{point("bus/in1")}}
	got := capture.Within(room, meant, round, "now")
	notes(t, got.Notes, nil)
	if !slices.Equal(got.Loops, meant.Loops) {
		t.Errorf("the loop that is meant was lost: %v", got.Loops)
	}
	both := patch.Patch{Crosspoints: []patch.Crosspoint{
		{Output: point("grid/out1"), Input: point("grid/in1")}, {Output: point("grid/out1"), Input: point("grid/in2")},
	}}
	notes(t, capture.Session(room, both, "now").Notes, []string{"captured while grid/in1, grid/in2 were routed to grid/out1"})
}

// Gear that only a lead names comes as a guest, and what the software carries
// stays.
func TestGuestsComeAlong(t *testing.T) {
	room := heard.NewRoom(readStudio(t, busStudio))
	organ := studio.Gear{Name: "organ", Ports: []studio.Port{{Point: point("organ/out1"), Direction: studio.Output}}}
	absent := studio.Gear{Name: "drum", Ports: []studio.Port{{Point: point("drum/out1"), Direction: studio.Output}}}
	in := &session.Session{
		Guests: []studio.Gear{organ, absent},
		Inside: []studio.Pass{{In: point("tape/in2"), Out: point("tape/out1")}},
	}
	p := cords("main/b4", "main/b1")
	p.Leads = []patch.Lead{{Port: point("organ/out1"), Jack: point("floor-a/1")}, {Port: point("flute/out1"), Jack: point("main/t6")}}
	got := capture.Within(room, in, p, "now")
	var names []string
	for _, g := range got.Guests {
		names = append(names, g.Name)
	}
	if fmt.Sprint(names) != "[organ flute]" || !slices.Equal(got.Inside, in.Inside) {
		t.Errorf("guests are %v, and inside %v", names, got.Inside)
	}
	if len(got.Wants) != 1 || got.Wants[0].Source != point("organ/out1") {
		t.Errorf("asked for %v", got.Wants)
	}
}

// A guest into which gear of the room is plugged comes along as one that is plugged in.
func TestGuestWithALeadIntoIt(t *testing.T) {
	room := heard.NewRoom(readStudio(t, busStudio))
	box := studio.Gear{Name: "box", Loose: true, Ports: []studio.Port{{Point: point("box/in1"), Direction: studio.Input}}}
	p := patch.Patch{Leads: []patch.Lead{{Port: point("tape/out1"), Jack: point("box/in1")}}}
	got := capture.Within(room, &session.Session{Guests: []studio.Gear{box}}, p, "now")
	if len(got.Guests) != 1 || got.Guests[0].Name != "box" {
		t.Errorf("guests are %v", got.Guests)
	}
}

// What the normals carry is told apart from what plugs and wires do.
func TestNormalsThatDoTheWork(t *testing.T) {
	s := studioA()
	room := heard.NewRoom(s)
	p := cords("main/t3", "main/b9")
	p.Dummies = []name.Point{point("main/b2")}
	carried := text.Chains(capture.Normals(room, &session.Session{}, p), s, nil)
	want := []string{
		"interface/out1 -> speakers/in1",
		"interface/out3-4 -> interface/in3-4",
		"squeeze/out2 -> interface/in2",
		"echo/out1 -> squeeze/1 -> interface/in1",
	}
	if !slices.Equal(carried, want) {
		t.Errorf("the normals carry %q", carried)
	}
	asked := capture.Session(room, p, "now")
	if len(asked.Wants) != 1 || len(asked.Silent) != 1 {
		t.Errorf("asked for %v and silent %v; the cord gives one thing, the dummy takes one", asked.Wants, asked.Silent)
	}
}

const pairedStudio = `studio: Outputs that are switched together
gear:
  tape: {inputs: {in1-4: pro-line}, outputs: {out1-4: pro-line}}
matrices:
  grid: {inputs: 4, outputs: 3, kind: contacts, stereo: [[out1, out2]]}
wiring:
  - tape/out1-4 -> grid/in1-4
  - grid/out1-3 -> tape/in1-3
`

// Crosspoints that are switched together are left out together, and none stays by itself.
func TestWhatIsSwitchedTogetherStaysTogether(t *testing.T) {
	s := readStudio(t, pairedStudio)
	for _, c := range []struct {
		closed string // as 1:2 for out1 to in2
		kept   string
		note   string
	}{
		{"1:1 2:2 3:3", "1:1 2:2 3:3", ""},
		{"1:1 2:2 3:2", "1:1 2:2 3:2", ""},
		{"1:1 2:2 3:1 3:3", "1:1 2:2", "with all that may join them: grid/in1 -> grid/out3, grid/in3 -> grid/out3"},
		{"1:1 1:2 2:2 2:3", "", "with all that may join them: grid/in1 -> grid/out1, grid/in2 -> grid/out2, grid/in2 -> grid/out1, grid/in3 -> grid/out2"},
		{"1:1 2:3 3:4", "3:4", "were apart; what they were routed to was left out: grid/in1 -> grid/out1, grid/in3 -> grid/out2"},
		{"2:1", "", "were apart; what they were routed to was left out: grid/in1 -> grid/out2"},
	} {
		made := capture.Session(heard.NewRoom(s), crosspoints(t, c.closed), "now")
		if want := crosspoints(t, c.kept); !slices.Equal(made.Patch.Crosspoints, want.Crosspoints) {
			t.Errorf("%s: keeps %v, not %v", c.closed, made.Patch.Crosspoints, want.Crosspoints)
		}
		if c.note == "" && made.Notes != "" || !strings.Contains(made.Notes, c.note) {
			t.Errorf("%s: noted %q, without %q", c.closed, made.Notes, c.note)
		}
		if _, _, problems := text.ReadSession("now.yaml", text.WriteSession(*made, text.InStudio(s)), s, nil); len(problems) > 0 {
			t.Errorf("%s: %v", c.closed, problems)
		}
	}
}

func crosspoints(t *testing.T, closed string) patch.Patch {
	t.Helper()
	var p patch.Patch
	for _, field := range strings.Fields(closed) {
		var out, in int
		if _, err := fmt.Sscanf(field, "%d:%d", &out, &in); err != nil {
			t.Fatal(err)
		}
		p.Crosspoints = append(p.Crosspoints, patch.Crosspoint{Output: name.At("grid", "out", out), Input: name.At("grid", "in", in)})
	}
	return p
}
