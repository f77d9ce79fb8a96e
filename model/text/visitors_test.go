package text_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

func points(t *testing.T, texts ...string) []name.Point {
	t.Helper()
	var all []name.Point
	for _, text := range texts {
		found, err := name.List(text)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, found...)
	}
	return all
}

func visitors(t *testing.T) *studio.Studio { return readStudio(t, "testdata/ok/visitors/studio.yaml") }

func visit(t *testing.T, file string) *session.Session {
	t.Helper()
	file = "testdata/ok/visitors/" + file
	s, _, problems := text.ReadSession(file, read(t, file), visitors(t), beside("testdata/ok/visitors"))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return s
}

// A socket that is wired to a jack is tied to it, whichever way the line says.
func TestBoxes(t *testing.T) {
	s := visitors(t)
	want := []studio.Box{{Name: "floor-a", Label: "Vloer links", Sockets: 8, Jack: "xlr"}, {Name: "wall", Sockets: 2}}
	if diff := cmp.Diff(want, s.Boxes); diff != "" {
		t.Error(diff)
	}
	tied := map[string]studio.Tie{}
	for _, tie := range s.Ties {
		tied[tie.A.String()+" "+tie.B.String()] = tie
	}
	for _, pair := range []string{"floor-a/1 main/t9", "floor-a/4 main/t12", "main/b13 floor-a/5", "wall/2 far/t1"} {
		if _, ok := tied[pair]; !ok {
			t.Errorf("no tie %s", pair)
		}
	}
	if tie := tied["main/b14 floor-a/6"]; tie.Run.Cable != "snake" || tie.Run.Plugs != [2]string{"bare", "xlr"} || tie.Key != "wiring[3]" {
		t.Errorf("the schedule needs %+v", tie)
	}
	if !slices.ContainsFunc(s.Wires, func(w studio.Wire) bool { return w.From.String() == "wall/1" && w.To.String() == "opto/in1" }) {
		t.Error("a socket is not wired to the gear")
	}
	if p, err := text.ResolveJack(s, "floor-a/3"); err != nil || p != s.Boxes[0].Socket(3) {
		t.Errorf("floor-a/3 is %v (%v)", p, err)
	}
}

func TestSwitchesAndSockets(t *testing.T) {
	s := visitors(t)
	bus, front := s.Gear[1], s.Gear[0]
	want := []studio.Select{
		{Choices: [][]name.Point{points(t, "bus/mix1-2"), points(t, "bus/alt1-2", "bus/solo")}},
		{Choices: [][]name.Point{points(t, "bus/in1-2"), points(t, "bus/in3-4")}},
	}
	if diff := cmp.Diff(want, bus.Selects); diff != "" {
		t.Error(diff)
	}
	steals := []studio.Override{{Front: point(t, "interface/front1"), Rear: point(t, "interface/in1")}, {Front: point(t, "interface/front2"), Rear: point(t, "interface/in2")}}
	if diff := cmp.Diff(steals, front.Overrides); diff != "" {
		t.Error(diff)
	}
	at := slices.IndexFunc(front.Ports, func(p studio.Port) bool { return p.Point == steals[0].Front })
	if at < 0 || front.Ports[at].Direction != studio.Input || front.Ports[at].Line != front.Ports[8].Line {
		t.Errorf("the socket is no input like the one it takes over: %+v", front.Ports)
	}
	if drums := s.Gear[len(s.Gear)-2]; !s.Gear[len(s.Gear)-1].Loose || !slices.Equal(drums.At, []string{"floor-a", "main"}) {
		t.Errorf("the leads of %s go to %v", drums.Name, drums.At)
	}
	rooms := []studio.Room{{Name: "live", Parts: []string{"far", "wall"}}, {Name: "mix", Parts: []string{"main", "grid", "floor-a"}}}
	if diff := cmp.Diff(rooms, s.Rooms); diff != "" {
		t.Error(diff)
	}
}

// Where one output of a group is named, the others go with it.
func TestStereo(t *testing.T) {
	s := visitors(t)
	cross := func(out, in int) patch.Crosspoint {
		return patch.Crosspoint{Output: s.Matrices[0].Out(out), Input: s.Matrices[0].In(in)}
	}
	if diff := cmp.Diff([]patch.Crosspoint{cross(1, 1), cross(2, 2)}, s.Rest.Crosspoints); diff != "" {
		t.Error(diff)
	}
	p, _, problems := text.ReadPatch("present.yaml", read(t, "testdata/ok/visitors/present.yaml"), s)
	if diff := cmp.Diff([]patch.Crosspoint{cross(1, 5), cross(2, 6)}, p.Crosspoints); diff != "" || len(problems) > 0 {
		t.Error(diff, problems)
	}
}

func TestGuestsAndStandIns(t *testing.T) {
	first, second := visit(t, "session-first.yaml"), visit(t, "session-second.yaml")
	for _, c := range []struct {
		s    *session.Session
		want string
	}{
		{first, "keys/out1 -> interface/in3"},
		{first, "interface/out1 -> vari/in1"},
		{first, "vari/out1 -> interface/front1"},
		{second, "interface/out1 -> tube/in1"}, // the stand-in is away too
		{second, "keys/out1 -> interface/in3"},
		{second, "keys/out3 -> interface/in7"},
		{second, "bus/mix1 -> interface/in5"},
	} {
		if !slices.ContainsFunc(c.s.Wants, func(w session.Want) bool { return w.Source.String()+" -> "+w.Destination.String() == c.want }) {
			t.Errorf("%s does not ask for %s: %v", c.s.Name, c.want, c.s.Wants)
		}
	}
	if len(second.Guests) != 3 || !second.Guests[2].Loose || len(second.Guests[1].Ports) != 3 || second.Guests[1].At != nil {
		t.Errorf("a guest that is described anew is %+v", second.Guests)
	}
	// The studio has a line of its own under the name pro-line.
	if line := second.Guests[1].Ports[0].Line; line.Max != 22 {
		t.Errorf("the guest's line is %+v", line)
	}
	want := []session.Selection{{Gear: "bus", Ports: points(t, "bus/in3-4")}, {Gear: "bus", Ports: points(t, "bus/mix1-2")}}
	if diff := cmp.Diff(want, second.Selections); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]session.Substitute{{Away: "opto", StandIn: "vari"}, {Away: "vari", StandIn: "tube"}}, second.Substitutes); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]session.Settings{{Gear: "opto", Values: []session.Setting{{Name: "threshold", Value: "-10 dB"}}}}, second.Settings); diff != "" {
		t.Error("settings stay those of the unit that is away:", diff)
	}
}

func TestVisitorsAreWritten(t *testing.T) {
	for _, file := range []string{"session-first.yaml", "session-second.yaml"} {
		s := visit(t, file)
		written := text.WriteSession(*s, text.InStudio(visitors(t)))
		again, _, problems := text.ReadSession(file, written, visitors(t), nil)
		same := sameHead(s, again) + cmp.Diff(s, again, cmpopts.IgnoreFields(session.Session{}, "Guests"), cmpopts.IgnoreFields(session.Session{}, "Name", "Like"), cmpopts.IgnoreFields(session.Want{}, "Key", "Chain"), cmpopts.EquateEmpty())
		if same != "" || len(problems) > 0 {
			t.Errorf("%s was written as\n%s\n%v\n%s", file, written, problems, same)
		}
	}
}

// A guest with everything that gear can have comes back the same.
func TestGuestIsWritten(t *testing.T) {
	s, _, problems := text.ReadSession("all.yaml", []byte(allOfAGuest), visitors(t), nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	written := text.WriteSession(*s, text.InStudio(visitors(t)))
	again, _, problems := text.ReadSession("all.yaml", written, visitors(t), nil)
	if diff := sameHead(s, again); diff != "" || len(problems) > 0 {
		t.Errorf("written as\n%s\n%v\n%s", written, problems, diff)
	}
}

const allOfAGuest = `session: All of a guest
guests:
  desk-b:
    label: Desk, hired
    inserts: {ins1-2: {line: pro-line, level: 0 dBu}}
    inputs: {in1-4: {line: microphone, phantom: true, plug: xlr}, side: home-line}
    outputs: {mix1-2: pro-line, alt1-2: {line: pro-line, label: Alternative, balanced: false, max: +20 dBu, source: 60 ohm, load: 1 kohm, level: -10 dBV, min-load: 600 ohm, level-into: 10 kohm}, sub1: {line: pro-line, balanced: cross-coupled}}
    passes: [in1-4 => mix1-2, in1-4 => alt1-2]
    can-pass: [side -> mix1]
    role: headphone
    mute: {by: person, at: "knob, big"}
    midi: {port: "usb", channel: 2, first: 1}
    select: [[mix1-2, alt1-2], [in1, [in2, side], "in3,4"]]
    steals: {side: in1}
    at: [floor-a, main]
    place: {rack: left, unit: 3}
  echo: {channels: 2, line: home-line, mute: {by: grid/out7}, role: loudspeaker, at: wall, place: {x: -20 cm, y: 1.5 m}}
`

// sameHead compares what sessions bring and choose. Ports and passes may stand in
// another order, since inserts and channels are written before the others.
func sameHead(a, b *session.Session) string {
	byName := cmpopts.SortSlices(func(a, b studio.Port) bool { return a.Point.Compare(b.Point) < 0 })
	byPass := cmpopts.SortSlices(func(a, b studio.Pass) bool {
		return a.In.Compare(b.In) < 0 || a.In == b.In && a.Out.Compare(b.Out) < 0
	})
	bySteal := cmpopts.SortSlices(func(a, b studio.Override) bool { return a.Front.Compare(b.Front) < 0 })
	return cmp.Diff(a.Guests, b.Guests, byName, byPass, bySteal, cmpopts.EquateEmpty()) +
		cmp.Diff(a.Selections, b.Selections, cmpopts.EquateEmpty()) + cmp.Diff(a.Substitutes, b.Substitutes, cmpopts.EquateEmpty())
}
