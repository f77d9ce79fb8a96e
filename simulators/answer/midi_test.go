package answer

import (
	"bytes"
	"encoding/hex"
	"strings"
	"testing"

	"bayhand/model/device"
	"bayhand/simulators/matrix"
)

func wire(t testing.TB, text string) []byte {
	t.Helper()
	b, err := hex.DecodeString(strings.ReplaceAll(text, " ", ""))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// messages is what a stream falls into, as hexadecimal text.
func messages(t testing.TB, stream string) []string {
	t.Helper()
	var m midi
	var all []string
	for _, b := range wire(t, stream) {
		if message := m.add(b); message != nil {
			all = append(all, strings.ToUpper(hex.EncodeToString(message)))
		}
	}
	return all
}

func TestMIDIStreams(t *testing.T) {
	for _, c := range []struct{ rule, stream, messages string }{
		{"MIDI 1.0: bank 300, program 4, channel 3, running status", "B2 00 02 20 2C C2 04", "B20002 B2202C C204"},
		{"MIDI 1.0: the same without running status", "B2 00 02 B2 20 2C C2 04", "B20002 B2202C C204"},
		{"MIDI 1.0: NRPN 1234 = 8000, channel 1", "B0 63 09 62 52 06 3E 26 40", "B06309 B06252 B0063E B02640"},
		{"MIDI 1.0: lengths by status", "80 01 02 90 01 02 A0 01 02 B0 01 02 C0 01 D0 01 E0 00 40", "800102 900102 A00102 B00102 C001 D001 E00040"},
		{"MIDI 1.0: system common lengths", "F1 01 F2 01 02 F3 01 F6", "F101 F20102 F301 F6"},
		{"MIDI 1.0: real-time bytes anywhere in a message", "B2 F8 00 FE 02 FA 20 FF 2C", "B20002 B2202C"},
		{"MIDI 1.0: real-time bytes inside a system exclusive", "F0 7D F8 10 FE 02 FA 05 F7", "F07D100205F7"},
		{"MIDI 1.0: undefined F9 and FD leave running status alone (from memory)", "B2 00 01 F9 00 FD 02", "B20001 B20002"},
		{"MIDI 1.0: F4 and F5 end running status (from memory)", "B2 00 01 F4 00 02 B2 F5 00 02 C2 04", "B20001 C204"},
		{"MIDI 1.0: system common ends running status", "B2 00 01 F6 00 02", "B20001 F6"},
		{"MIDI 1.0: system exclusive ends running status", "B2 00 01 F0 7D F7 00 02", "B20001 F07DF7"},
		{"MIDI 1.0: data without a status in force", "00 01 02 C2 04 05", "C204 C205"},
		{"MIDI 1.0: another status cuts a message short", "B2 00 C2 04", "C204"},
		{"RFC 6295, 3.2: the last byte of a system exclusive dropped", "F0 7D 10 02 05 C2 04", "C204"},
		{"RFC 6295, 3.2: dropped, and another exclusive follows", "F0 7D 10 F0 7D 11 F7", "F07D11F7"},
		{"RFC 6295, 3.2: dropped before a system common message", "F0 7D 10 F6 F7", "F6"},
		{"MIDI 1.0: an end with no beginning", "F7 F7 C2 F7 04", ""},
		{"MIDI 1.0, Device Inquiry: identity request", "F0 7E 7F 06 01 F7", "F07E7F0601F7"},
	} {
		if got := strings.Join(messages(t, c.stream), " "); got != c.messages {
			t.Errorf("%s: %s falls into %q, not %q", c.rule, c.stream, got, c.messages)
		}
	}
}

func TestALongSystemExclusiveIsThrownAway(t *testing.T) {
	var m midi
	feed := func(b byte, times int) (got []byte) {
		for range times {
			if message := m.add(b); message != nil {
				got = message
			}
		}
		return got
	}
	m.add(exclusive)
	if got := feed(0x01, 1<<20); got != nil || cap(m.message) > 2*MaxMessage {
		t.Fatalf("%d bytes are held", cap(m.message))
	}
	if got := m.add(endOfExclusive); got != nil {
		t.Errorf("a message of %d bytes came of it", len(got))
	}
	m.add(exclusive)
	if feed(0x01, MaxMessage-1) != nil || len(m.add(endOfExclusive)) != MaxMessage+1 {
		t.Error("the longest that is kept was lost")
	}
}

// midi-exclusive: the conversation that a driver has, in bytes.
func TestExclusiveDialect(t *testing.T) {
	dev, m := simulated(t, shipped(t, "midi-exclusive"), 8, 8, nil, matrix.Faults{})
	for _, c := range []struct{ rule, sent, back string }{
		{"set three outputs, one of them to off", "F0 7D 10 01 05 00 05 07 02 01 00 F7", "F0 7E 10 7F 05 F7"},
		{"all outputs", "F0 7D 10 02 06 F7", "F0 7D 10 42 06 05 00 00 00 00 00 00 02 F7"},
		{"output 9 of 8: NAK", "F0 7D 10 01 07 00 01 08 01 F7", "F0 7E 10 7E 07 F7"},
		{"input 9 of 8: NAK", "F0 7D 10 01 08 00 09 F7", "F0 7E 10 7E 08 F7"},
		{"real-time bytes inside", "F0 7D F8 10 FE 02 09 F7", "F0 7D 10 42 09 05 00 00 00 00 00 00 02 F7"},
		{"another device's", "F0 7D 11 02 06 F7", ""},
		{"MIDI 1.0, Device Inquiry: every device", "F0 7E 7F 06 01 F7", "F0 7E 10 06 02 7D 01 00 02 00 00 01 00 00 F7"},
		{"MIDI 1.0, Device Inquiry: device 16", "F0 7E 10 06 01 F7", "F0 7E 10 06 02 7D 01 00 02 00 00 01 00 00 F7"},
		{"7F calls everyone in universal messages only", "F0 7D 7F 02 06 F7", ""},
		{"no pairs", "F0 7D 10 01 05 F7", ""},
		{"half a pair", "F0 7D 10 01 05 00 F7", ""},
		{"not one of its own", "F0 7D 10 55 F7 90 01 02", ""},
		{"the last byte dropped, then whole", "F0 7D 10 02 06 F0 7D 10 02 07 F7", "F0 7D 10 42 07 05 00 00 00 00 00 00 02 F7"},
	} {
		got := bytes.Join(dev.Receive(wire(t, c.sent)), nil)
		if !bytes.Equal(got, wire(t, c.back)) {
			t.Errorf("%s: % X brings % X", c.rule, wire(t, c.sent), got)
		}
	}
	if m.Listens(1) != 5 || m.Listens(8) != 2 || len(m.State()) != 2 {
		t.Errorf("closed are %v", m.State())
	}
}

// More changes than one message can carry are refused.
func TestExclusiveBatch(t *testing.T) {
	d := shipped(t, "midi-exclusive")
	dev, m := simulated(t, d, 32, 32, nil, matrix.Faults{})
	e, _ := d.Exchange(device.Set)
	pairs := strings.Repeat("00 01 ", e.Batch)
	if got := bytes.Join(dev.Receive(wire(t, "F0 7D 10 01 01"+pairs+"F7")), nil); !bytes.Equal(got, wire(t, "F0 7E 10 7F 01 F7")) {
		t.Errorf("a full message brings % X", got)
	}
	before := m.Last()
	if got := bytes.Join(dev.Receive(wire(t, "F0 7D 10 01 02 03 03"+pairs+"F7")), nil); !bytes.Equal(got, wire(t, "F0 7E 10 7E 02 F7")) || m.Last() != before {
		t.Errorf("one too many brings % X", got)
	}
}

// midi-control-change: write only.
func TestControlChangeDialect(t *testing.T) {
	dev, m := simulated(t, shipped(t, "midi-control-change"), 18, 18, map[string]string{"channel": "3"}, matrix.Faults{})
	// Controllers 102 to 119 are outputs 1 to 18; running status; another channel;
	// bank select and volume, which are not for it; an input that is not there.
	if got := dev.Receive(wire(t, "B2 66 05 67 06 F8 77 12 B3 66 01 B2 00 02 07 64 66 13 C2 04 B2 67 00")); got != nil {
		t.Errorf("it answers % X", got)
	}
	want := []matrix.Crosspoint{{Output: 1, Input: 5}, {Output: 18, Input: 18}}
	if got := m.State(); len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("closed are %v", got)
	}
}
