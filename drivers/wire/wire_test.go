package wire

import (
	"bytes"
	"testing"
)

func TestWhole(t *testing.T) {
	for text, want := range map[string]bool{
		"\xB2\x00\x02\xC2\x04":     true,
		"\xF0\x7E\x7F\x06\x01\xF7": true, // Identity Request, MIDI 1.0
		"\xB2\x00\x02\x20\x2C":     true, // running status
		"\xB2\x00\x02\x20":         false,
		"":                         false,
		"\xB2\x00":                 false,
		"\xF0\x7D\x01":             false,
		"\x00\xC2\x04":             false,
		"\xC2\xF8\x04":             false, // a real-time byte inside
	} {
		if Whole([]byte(text)) != want {
			t.Errorf("% X are whole messages: %v", text, !want)
		}
	}
}

// Whatever comes, messages are whole, and cutting what came out again gives the
// same; how the stream falls into pieces makes no difference.
func FuzzFramer(f *testing.F) {
	f.Add([]byte("\xB2\x00\x02\x20\x2C\xC2\x04"), byte(1))
	f.Add([]byte("\xF0\x7E\xF8\x10\x7F\x00\xF7\xB0\x07"), byte(3))
	f.Fuzz(func(t *testing.T, stream []byte, piece byte) {
		at, pieces := NewFramer(), NewFramer()
		messages, err := at.Feed(stream)
		var again [][]byte
		for size := 1 + int(piece%7); len(stream) > 0; stream = stream[min(size, len(stream)):] {
			more, _ := pieces.Feed(stream[:min(size, len(stream))])
			again = append(again, more...)
		}
		if got, want := bytes.Join(again, nil), bytes.Join(messages, nil); !bytes.Equal(got, want) {
			t.Errorf("in pieces % X, at once % X", got, want)
		}
		if err == nil && len(messages) > 0 && !Whole(bytes.Join(messages, nil)) {
			t.Errorf("what came out is not whole: % X", messages)
		}
		if at.Pending() > MaxExclusive {
			t.Errorf("%d bytes are kept", at.Pending())
		}
	})
}
