package order_test

import (
	"testing"

	"bayhand/model/name"
	"bayhand/model/order"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// floor is made up for these tests: a floor box with two sockets at microphone
// inputs that can supply phantom power.
const floor = `
studio: A floor box
gear:
  voice: {outputs: {out1: microphone}, at: [stage]}
  keys: {outputs: {out1: home-line}, at: [stage]}
  ribbon: {outputs: {out1: {line: microphone, test: no}}, at: [stage]}
  amplifier: {inputs: {mic1-2: {line: microphone, phantom: true}}, outputs: {out1-2: pro-line}, passes: [mic1-2 -> out1-2]}
  recorder: {inputs: {in1-2: pro-line}}
bays:
  main: {pairs: 4, modes: isolated}
boxes:
  stage: {jacks: 4}
wiring:
  - stage/1-2 -> amplifier/mic1-2
  - amplifier/out1-2 -> recorder/in1-2
`

// Phantom power is asked for where a microphone is and nothing else: 48 V harms
// what is no microphone (P48, IEC 61938).
func TestPhantomForMicrophonesOnly(t *testing.T) {
	for _, c := range []struct {
		name, from, session string
		on                  string
	}{
		{"a microphone comes", "", "connect: [voice/out1 -> amplifier/mic1]", "amplifier/mic1"},
		{"the microphone goes, and nothing comes", "leads: [voice/out1 - stage/1]", "", ""},
		{"a ribbon microphone comes", "", "connect: [ribbon/out1 -> amplifier/mic1]", ""},
		{"a synthesizer comes", "", "connect: [keys/out1 -> amplifier/mic1]", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := written(t, floor, c.from, c.session)
			if !w.plan.Given {
				t.Fatal(w.plan.Missing)
			}
			w.arrange(t, 0)
			w.check(t, 0, tally{})
			off, on := "", ""
			for _, s := range w.plan.Steps {
				switch s.Do {
				case plan.PhantomOff:
					off += s.Ends[0].String()
				case plan.PhantomOn:
					on += s.Ends[0].String()
				}
			}
			if on != c.on || off == "" {
				t.Errorf("phantom power is off at %q, on at %q: %v", off, on, lines(w.plan.Steps))
			}
		})
	}
}

// MayPower looks at all that hangs on the net of an input.
func TestMayPower(t *testing.T) {
	w := written(t, floor, "", "")
	for port, want := range map[string]bool{
		"":             false, // nothing
		"voice/out1":   true,
		"keys/out1":    false, // an instrument
		"ribbon/out1":  false, // test: no
		"visitor/out1": false, // of an earlier session: nobody knows what it is
	} {
		p := patch.Patch{}
		if port != "" {
			at := points(t, port, "stage/1")
			p.Leads = []patch.Lead{{Port: at[0], Jack: at[1]}}
		}
		if got := order.MayPower(w.room.Studio(), w.room.Hear(p).Net(name.At("amplifier", "mic", 1))); got != want {
			t.Errorf("%q: %v", port, got)
		}
	}
}
