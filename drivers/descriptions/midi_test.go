package descriptions_test

import (
	"bytes"
	"testing"

	"gitlab.com/gomidi/midi/v2"

	"bayhand/drivers/descriptions"
	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/text"
)

// What the MIDI descriptions send agrees with the bytes of a MIDI library (MIDI 1.0,
// channel voice messages: control change Bn, program change Cn; a non-registered
// parameter in controllers 99 and 98, its value in 6 and 38).
func TestMIDIAgreesWithALibrary(t *testing.T) {
	control := midi.ControlChange
	join := func(all ...midi.Message) (joined []byte) {
		for _, m := range all {
			joined = append(joined, m...)
		}
		return joined
	}
	for _, test := range []struct {
		name            string
		inputs, outputs int
		parameters      map[string]string
		output, input   int
		want            []byte
	}{
		{"midi-control-change", 18, 18, map[string]string{"channel": "3"}, 18, 5, join(control(2, 119, 5))},
		{"midi-control-change-channel", 18, 16, nil, 16, 5, join(control(15, 102, 5))},
		{"midi-nrpn", 300, 2, map[string]string{"first": "1234"}, 2, 300,
			join(control(0, 99, 1235>>7), control(0, 98, 1235&127), control(0, 6, 300>>7), control(0, 38, 300&127))},
		{"midi-program-change", 8, 1, map[string]string{"channel": "3"}, 1, 5, join(midi.ProgramChange(2, 4))},
	} {
		file, src, err := descriptions.Named(test.name)
		if err != nil {
			t.Fatal(err)
		}
		d, _, problems := text.ReadDevice(file, src)
		if problems.Errors() {
			t.Fatal(problems)
		}
		c, err := message.New(d, test.inputs, test.outputs, test.parameters)
		if err != nil {
			t.Fatal(err)
		}
		got, err := c.Send(device.Set, message.Says{Crosspoints: []message.Crosspoint{{Output: test.output, Input: test.input}}})
		if err != nil || !bytes.Equal(got, test.want) {
			t.Errorf("%s, output %d to input %d: % X, %v; the library has % X", test.name, test.output, test.input, got, err, test.want)
		}
	}
}
