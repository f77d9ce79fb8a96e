package text

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"bayhand/model/studio"
)

// everything has every key that a session and a guest can have.
const everything = `session: Everything
program: 3
bank: 2
weight: 5
guests:
  rack:
    label: Guest rack
    short: rk
    outputs: {out1-2: {line: pro-line, label: Left and right, short: lr, test: no, level: +6 dBu, max: +20 dBu, source: 50 ohm, min-load: 600 ohm, level-into: 10 kohm, balanced: transformer, plug: xlr}, mix1-2: pro-line, alt1-2: pro-line}
    inputs: {in1-2: {line: microphone, load: 2 kohm, phantom: true}, in3: {line: pro-line, test: no}, in4: pro-line}
    inserts: {ins1: {line: pro-line, test: no}, ins2: pro-line}
    passes: [in1 => mix1-2, in3 -> out1]
    can-pass: [in2 -> out2]
    midi: {port: usb-midi, channel: 3, first: 1}
    select: [[mix1-2, alt1-2]]
    steals: {front1: in1}
    sockets: {d1: {plug: d-sub-25, ports: [out1-2, "in1,3"], pins: aes59}, d2: {plug: xlr, ports: in4}}
    sound: {link: files, rate: 48000, outputs: {out1-2: 3-4}, inputs: {in3: 7}, full-scale: +18 dBu}
    insert-tip: send
    place: {x: 150 cm, y: 80 cm}
    at: main
  ears:
    inputs: {in1: headphone}
    role: headphone
    mute: {by: person, at: knob}
    test: no
  tape:
    channels: 2
    line: pro-line
    sound: {link: "alsa:hw:1,0"}
  di:
    inputs: {in1: instrument}
    outputs: {out1: microphone}
    passes: [in1 -> out1]
    loose: true
substitute: {opto: tape}
select: {rack: alt1-2}
connect: [di/out1 -> rack/in3]
keep: [rack/alt1 -> tape/in1]
silent: [tape/in2]
cut: [ears]
allow: [loop rack/out2]
inside: [rack/in4 -> rack/out2]
programs: {rack: 7}
settings: {rack: {gain: 3}}
pictures: {rack: rack.jpg}
notes: Everything.
patch: {dummies: [main/t1]}
`

// Nothing of a session is lost in the writing: not one key of its own, of a guest, or of
// a guest's ports.
func TestNothingOfASessionIsLost(t *testing.T) {
	room := &studio.Studio{Name: "x", Bays: []studio.Bay{{Name: "main", Modes: make([]studio.Mode, 4)}},
		Gear: []studio.Gear{{Name: "opto"}}}
	for _, table := range []Table{sessionFields, gearFields, portFields, soundFields, muteFields, midiFields, socketFields} {
		for _, key := range table.Keys() {
			if key != "like" && !strings.Contains(everything, key+": ") && !strings.Contains(everything, key+":\n") {
				t.Errorf("the key %s of %s is not tried", key, table.Name)
			}
		}
	}
	s, _, problems := ReadSession("everything.yaml", []byte(everything), room, nil)
	if problems != nil {
		t.Fatal(problems)
	}
	written := WriteSession(*s, InStudio(room))
	back, _, problems := ReadSession("everything.yaml", written, room, nil)
	if problems != nil {
		t.Fatalf("%v\n%s", problems, written)
	}
	for i := range s.Wants {
		s.Wants[i].Key, back.Wants[i].Key = "", ""
	}
	// Which ports stand first is no matter.
	byName := cmpopts.SortSlices(func(a, b studio.Port) bool { return a.Point.Compare(b.Point) < 0 })
	if diff := cmp.Diff(s, back, byName); diff != "" {
		t.Errorf("(-want +got):\n%s\n%s", diff, written)
	}
}
