package wire

import (
	"bytes"
	"testing"
)

// Throwing away what has not ended leaves running status in force between two
// messages, since the device goes on with it (MIDI 1.0, Running Status).
func TestResetKeepsRunningStatus(t *testing.T) {
	f := NewFramer()
	for _, test := range []struct{ stream, want string }{
		{"\xB0\x10\x05", "\xB0\x10\x05"},
		{"\x11\x06", "\xB0\x11\x06"},
		{"\x12", ""},         // half a message, which is thrown away
		{"\x07\x13\x08", ""}, // and which its rest does not become
		{"\xB0\x14", ""},     // a status byte begins anew
		{"\xB0\x14\x09", "\xB0\x14\x09"},
		{"\xF0\x7D", ""},
		{"\x15\x0A", ""}, // a system exclusive ended running status
	} {
		messages, err := f.Feed([]byte(test.stream))
		if got := bytes.Join(messages, nil); string(got) != test.want || err != nil {
			t.Errorf("% X is % X, %v, want % X", test.stream, got, err, test.want)
		}
		f.Reset()
		if f.Pending() != 0 {
			t.Errorf("%d bytes are left after % X", f.Pending(), test.stream)
		}
	}
}
