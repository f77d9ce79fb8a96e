package message_test

import (
	"bytes"
	"encoding/hex"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gitlab.com/gomidi/midi/v2"

	"bayhand/drivers/message"
	"bayhand/drivers/wire"
	"bayhand/model/device"
)

func hexBytes(t testing.TB, text string) []byte {
	t.Helper()
	p, err := hex.DecodeString(strings.ReplaceAll(text, " ", ""))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func hexes(messages [][]byte) []string {
	var texts []string
	for _, m := range messages {
		texts = append(texts, strings.ToUpper(hex.EncodeToString(m)))
	}
	return texts
}

// MIDI 1.0: running status, real-time bytes inside other messages, a system
// exclusive that another status byte ends, data bytes that belong to nothing.
func TestMIDIStreams(t *testing.T) {
	tests := []struct {
		name, stream string
		want         []string
	}{
		{"program change after bank select, with running status (bank 300, program 4, channel 3)",
			"B2 00 02 20 2C C2 04", []string{"B20002", "B2202C", "C204"}},
		{"a parameter with running status (1234 = 8000)",
			"B0 63 09 62 52 06 3E 26 40", []string{"B06309", "B06252", "B0063E", "B02640"}},
		{"real-time inside a system exclusive", "F0 7E 10 F8 7F FE 00 F7", []string{"F07E107F00F7"}},
		{"real-time inside a control change keeps running status", "B0 F8 07 FE 40 FA 08 41", []string{"B00740", "B00841"}},
		{"a system exclusive that another one ends", "F0 7E 10 F0 7E 10 7F 00 F7", []string{"F07E107F00F7"}},
		{"a system exclusive that a control change ends", "F0 7E 10 B0 07 40", []string{"B00740"}},
		{"system exclusive cancels running status", "B0 07 40 F0 7D F7 07 41", []string{"B00740", "F07DF7"}},
		{"data before any status", "07 40 B0 07 41", []string{"B00741"}},
		{"an end of nothing", "F7 B0 07 41 F7 07 42", []string{"B00741"}},
		{"a control change cut short by a system exclusive", "B0 07 F0 7E 10 7F 00 F7", []string{"F07E107F00F7"}},
		{"song position cut short", "F2 01 F0 7D F7", []string{"F07DF7"}},
		{"undefined F4 cancels running status", "B0 07 40 F4 07 41 B0 07 42", []string{"B00740", "B00742"}},
		{"tune request", "F6 01 02 B0 07 42", []string{"F6", "B00742"}},
	}
	for _, test := range tests {
		for size := 1; size <= 3; size++ {
			framer := codec(t, exclusive(), 8, 8, nil).Framer()
			var got [][]byte
			for rest := hexBytes(t, test.stream); len(rest) > 0; {
				n := min(size, len(rest))
				messages, err := framer.Feed(rest[:n])
				if err != nil {
					t.Fatal(err)
				}
				got, rest = append(got, messages...), rest[n:]
			}
			if diff := cmp.Diff(test.want, hexes(got)); diff != "" {
				t.Errorf("%s, in pieces of %d: -want +got\n%s", test.name, size, diff)
			}
			if framer.Pending() != 0 {
				t.Errorf("%s: %d bytes are left", test.name, framer.Pending())
			}
		}
	}
}

func TestAnEndlessExclusiveIsThrownAway(t *testing.T) {
	framer := codec(t, exclusive(), 8, 8, nil).Framer()
	stream := append([]byte{0xF0}, bytes.Repeat([]byte{0x11}, 3*wire.MaxExclusive)...)
	_, err := framer.Feed(stream)
	if !errors.Is(err, message.ErrTooLong) {
		t.Errorf("an endless system exclusive gave %v", err)
	}
	got, err := framer.Feed(hexBytes(t, "11 F7 F0 7E 10 7F 00 F7"))
	if diff := cmp.Diff([]string{"F07E107F00F7"}, hexes(got)); err != nil || diff != "" {
		t.Errorf("after it: %v %s", err, diff)
	}
	longest := append(append([]byte{0xF0}, bytes.Repeat([]byte{0x11}, wire.MaxExclusive-1)...), 0xF7)
	got, err = framer.Feed(longest)
	if err != nil || len(got) != 1 || !bytes.Equal(got[0], longest) {
		t.Errorf("the longest legal one gave %d messages, %v", len(got), err)
	}
}

func TestExclusive(t *testing.T) {
	c := codec(t, exclusive(), 8, 4, map[string]string{"unit": "16"})
	got, err := c.Send(device.Set, message.Says{Packet: 5, Crosspoints: crosspoints{{1, 5}, {4, 0}}})
	if want := hexBytes(t, "F0 7D 10 01 05 00 05 03 00 F7"); err != nil || !bytes.Equal(got, want) {
		t.Errorf("Send = % X, %v, want % X", got, err, want)
	}
	if !midi.Message(got).Is(midi.SysExMsg) {
		t.Errorf("a MIDI library does not take % X for a system exclusive", got)
	}
	// MIDI 1.0, Device Inquiry: the reply is of 15 bytes.
	says, err := c.Answer(device.Identify, hexBytes(t, "F0 7E 10 06 02 7D 01 00 02 00 00 01 00 00 F7"))
	if err != nil || says.Identity != "7D 01 00 02 00 00 01 00 00" {
		t.Errorf("the identity was read as %q, %v", says.Identity, err)
	}
	// MIDI 1.0, handshakes: ACK F0 7E cc 7F pp F7, NAK F0 7E cc 7E pp F7.
	says, err = c.Answer(device.Set, hexBytes(t, "F0 7E 10 7F 05 F7"))
	if err != nil || says.Packet != 5 {
		t.Errorf("the acknowledgement was read as %v, %v", says, err)
	}
	says, meaning, err := c.Judge(device.Set, 0, hexBytes(t, "F0 7E 10 7E 05 F7"))
	if err != nil || meaning != message.Refusal || says.Packet != 5 {
		t.Errorf("the refusal was read as %v, %v", says, err)
	}
	if !c.Numbered(device.Set) || !c.Numbered(device.Read) || c.Numbered(device.Identify) {
		t.Error("which questions carry a packet number was not found")
	}
}

func TestExclusiveDump(t *testing.T) {
	c := codec(t, exclusive(), 8, 4, nil)
	says, err := c.Answer(device.Read, hexBytes(t, "F0 7D 10 42 03 02 00 08 01 F7"))
	if err != nil || says.Packet != 3 {
		t.Errorf("the dump was read as %v, %v", says, err)
	}
	if diff := cmp.Diff(crosspoints{{1, 2}, {2, 0}, {3, 8}, {4, 1}}, says.Crosspoints); diff != "" {
		t.Error(diff)
	}
	for dump, want := range map[string]error{
		"F0 7D 10 42 03 02 00 08 F7":       message.ErrValue, // an output too few
		"F0 7D 10 42 03 02 00 08 01 00 F7": message.ErrValue, // one too many
		"F0 7D 11 42 03 02 00 08 01 F7":    message.ErrOther, // another unit
		"F0 7D 10 43 03 02 00 08 01 F7":    message.ErrOther,
		"F0 7E 10 7F 03 F7":                message.ErrOther,
	} {
		if says, err := c.Answer(device.Read, hexBytes(t, dump)); !errors.Is(err, want) {
			t.Errorf("%s was read as %v, %v; want %v", dump, says, err, want)
		}
	}
}

// The bytes agree with those of a MIDI library for the same control change.
func TestControlChange(t *testing.T) {
	for channel := 1; channel <= 16; channel++ {
		c := codec(t, control(), 127, 18, map[string]string{"channel": decimal(channel)})
		for output := 1; output <= 18; output++ {
			input := output * 7
			got, err := c.Send(device.Set, message.Says{Crosspoints: crosspoints{{output, input}}})
			want := midi.ControlChange(uint8(channel-1), uint8(101+output), uint8(input))
			if err != nil || !bytes.Equal(got, want) {
				t.Errorf("channel %d, output %d, input %d: % X, %v, want % X", channel, output, input, got, err, want)
			}
		}
	}
	c := codec(t, control(), 4, 4, nil)
	if got, err := c.Send(device.Set, message.Says{Crosspoints: crosspoints{{1, 1}, {2, 2}}}); err == nil {
		t.Errorf("two outputs went into one control change: % X", got)
	}
}

func TestSentMIDIIsChecked(t *testing.T) {
	d := control()
	d.Exchanges[0].Send[0].Add = 300 - 175 // 7E is no status byte
	if _, err := message.New(d, 4, 4, nil); err == nil || !strings.Contains(err.Error(), "are no MIDI messages") {
		t.Errorf("a description that sends no MIDI messages: %v", err)
	}
}
