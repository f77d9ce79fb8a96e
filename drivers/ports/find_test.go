package ports

import (
	"strings"
	"testing"

	"gitlab.com/gomidi/midi/v2/drivers"
)

func TestNamed(t *testing.T) {
	all := []drivers.In{}
	for path, name := range map[string]string{"/dev/snd/midiC1D0": "Matrix MIDI 1", "/dev/snd/midiC2D0": "Keys", "/dev/snd/midiC4D0": "Matrix MIDI 10"} {
		all = append(all, &rawIn{rawPort: rawPort{name: name, path: path}})
	}
	twice := append(all, &rawIn{rawPort: rawPort{name: "Keys", path: "/dev/snd/midiC3D0"}})
	for _, test := range []struct {
		ports      []drivers.In
		name, want string
	}{
		{twice, "Matrix MIDI 1", "/dev/snd/midiC1D0"}, // though another name begins so
		{twice, "matrix midi 1", "/dev/snd/midiC1D0"},
		{twice, "MIDI 10", "/dev/snd/midiC4D0"},
		{all, "keys", "/dev/snd/midiC2D0"},
		{twice, "Keys", `several MIDI ports are so called: "Keys" (/dev/snd/midiC2D0), "Keys" (/dev/snd/midiC3D0)`},
		{all, "matrix", "several MIDI ports"},
		{all[:0], "Organ", `no MIDI port is called "Organ"; none is plugged in`},
		{[]drivers.In{&rawIn{rawPort: rawPort{name: "Odd\x00\xFF name", path: "/dev/x"}}}, "Organ", `no MIDI port is called "Organ"; there are "Odd name" (/dev/x)`},
	} {
		got, err := named(test.ports, test.name)
		said := ""
		if err != nil {
			said = err.Error()
		} else {
			said = got.Underlying().(string)
		}
		if !strings.HasPrefix(said, test.want) {
			t.Errorf("%q is %s, want %s", test.name, said, test.want)
		}
	}
}
