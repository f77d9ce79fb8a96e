package link

import (
	"context"
	"strings"
	"testing"
)

func TestPortNamed(t *testing.T) {
	lines := []line{
		{kind: "serial", path: "/dev/ttyUSB0", label: "Matrix serial"},
		{kind: "rawmidi", path: "/dev/snd/midiC1D0", label: "Matrix MIDI 1"},
		{kind: "rawmidi", path: "/dev/snd/midiC2D0", label: "Keys"},
		{kind: "rawmidi", path: "/dev/snd/midiC3D0", label: "Keys"},
		{kind: "rawmidi", path: "/dev/snd/midiC4D0", label: "Matrix MIDI 10"},
	}
	for name, want := range map[string]string{
		"Matrix MIDI 1": "/dev/snd/midiC1D0", // though another name begins so
		"matrix midi 1": "/dev/snd/midiC1D0",
		"MIDI 10":       "/dev/snd/midiC4D0",
		"Keys":          `several MIDI ports are so called: "Keys" (/dev/snd/midiC2D0), "Keys" (/dev/snd/midiC3D0)`,
		"matrix":        "several MIDI ports",
		"Organ":         `no MIDI port is called "Organ"; there are "Matrix MIDI 1"`,
	} {
		path, err := portNamed(lines, name)
		if err != nil {
			path = err.Error()
		}
		if !strings.HasPrefix(path, want) {
			t.Errorf("%q is %s, want %s", name, path, want)
		}
	}
	if _, err := Open(context.Background(), "midi:No Such Port At All", Options{}); err == nil || !strings.Contains(err.Error(), "midi:No Such Port At All cannot be opened") {
		t.Error(err)
	}
}
