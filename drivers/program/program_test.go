package program

import (
	"bytes"
	"encoding/hex"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"bayhand/drivers/wire"
)

func bytesOf(t testing.TB, text string) []byte {
	t.Helper()
	p, err := hex.DecodeString(strings.ReplaceAll(text, " ", ""))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func programsIn(stream []byte) []Program {
	var selected banks
	var all []Program
	messages, _ := wire.NewFramer().Feed(stream)
	for _, message := range messages {
		if p, ok := selected.take(message); ok {
			all = append(all, p)
		}
	}
	return all
}

// MIDI 1.0, controllers 0 and 32: Bank Select does nothing until the next Program
// Change, and holds until the next Bank Select on its channel.
func TestPrograms(t *testing.T) {
	for name, test := range map[string]struct {
		stream string
		want   []Program
	}{
		"bank 300, program 4 on channel 3, by running status": {"B2 00 02 20 2C C2 04", []Program{{3, 300, 4}}},
		"the same without":                         {"B2 00 02 B2 20 2C C2 04", []Program{{3, 300, 4}}},
		"two programs by running status":           {"C0 05 06", []Program{{1, 0, 5}, {1, 0, 6}}},
		"a bank holds":                             {"B0 20 01 C0 05 C0 06", []Program{{1, 1, 5}, {1, 1, 6}}},
		"a bank is a channel's own":                {"B0 20 01 C1 05", []Program{{2, 0, 5}}},
		"a bank alone asks for nothing":            {"B0 00 01 B0 20 01", nil},
		"other controllers and notes are no banks": {"B0 07 01 90 20 40 C0 7F", []Program{{1, 0, 127}}},
	} {
		if diff := cmp.Diff(test.want, programsIn(bytesOf(t, test.stream))); diff != "" {
			t.Errorf("%s: -want +got\n%s", name, diff)
		}
	}
	var selected banks
	for _, message := range []string{"B0 20 01", "FF"} {
		selected.take(bytesOf(t, message))
	}
	if p, _ := selected.take(bytesOf(t, "C0 05")); p.Bank != 0 {
		t.Errorf("after a system reset the bank is %d", p.Bank)
	}
}

// MIDI 1.0: controller 0, controller 32, then the Program Change.
func TestMessages(t *testing.T) {
	for want, p := range map[string]Program{
		"B2 00 02 B2 20 2C C2 04": {3, 300, 4},
		"B0 00 00 B0 20 00 C0 7F": {1, 0, 127},
		"CF 00":                   {16, NoBank, 0},
	} {
		if got := bytes.Join(p.Messages(), nil); !bytes.Equal(got, bytesOf(t, want)) {
			t.Errorf("%v is % X, want %s", p, got, want)
		}
	}
}

func TestSentIsHeard(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Program{rapid.IntRange(1, 16).Draw(t, "channel"), rapid.IntRange(0, 16383).Draw(t, "bank"), rapid.IntRange(0, 127).Draw(t, "number")}
		if got := programsIn(bytes.Join(p.Messages(), nil)); len(got) != 1 || got[0] != p || p.check() != nil {
			t.Errorf("%v was heard as %v", p, got)
		}
	})
}

func TestWhatCannotBe(t *testing.T) {
	for _, p := range []Program{{0, 0, 1}, {17, 0, 1}, {1, 16384, 1}, {1, 0, 128}, {1, 0, -1}} {
		if err := Send("rawmidi:/dev/no/such/device", p); err == nil || strings.Contains(err.Error(), "not found") {
			t.Errorf("%+v: %v", p, err)
		}
	}
	for _, port := range []string{"", "midi:", "rawmidi:"} {
		if err := Check(port); err == nil {
			t.Errorf("%q may be a port", port)
		}
	}
}
