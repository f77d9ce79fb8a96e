package order_test

import (
	"slices"
	"strings"
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

// One goes to the preamplifier once: phantom power is off at all of its inputs before the
// first plug, and not at the next one after that.
func TestPhantomGoesOffInOneStep(t *testing.T) {
	w := written(t, floor, "", "connect: [voice/out1 -> amplifier/mic1, keys/out1 -> amplifier/mic2]")
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	want := []string{
		"person phantom-off amplifier/mic1 amplifier/mic2",
		"person plug-lead voice/out1 stage/1 <1",
		"person plug-lead keys/out1 stage/2 <1",
		"person phantom-on amplifier/mic1 <2",
	}
	if got := lines(w.plan.Steps); !slices.Equal(got, want) {
		t.Errorf("the steps are\n%s", strings.Join(got, "\n"))
	}
}

// stage is made up for these tests: microphones before relays, a preamplifier behind them, and
// loudspeakers behind that by a matrix of amplifiers.
const stage = `
studio: A stage
gear:
  voice: {outputs: {out1-2: microphone}}
  keys: {outputs: {out1: home-line}}
  amplifier: {inputs: {mic1: {line: microphone, phantom: true}}, outputs: {out1: pro-line}, passes: [mic1 -> out1]}
  speakers: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: person, at: monitor cut}}
bays:
  main: {pairs: 2, modes: isolated}
matrices:
  relays: {inputs: 3, outputs: 1, kind: contacts}
  shade: {inputs: 1, outputs: 1, kind: amplifiers}
wiring:
  - voice/out1-2 -> relays/in1-2
  - keys/out1 -> relays/in3
  - relays/out1 -> amplifier/mic1
  - amplifier/out1 -> shade/in1
  - shade/out1 -> speakers/in1
`

// Relays hand phantom power on to whatever comes next, which it harms where that is no
// microphone (P48, IEC 61938), and switch it with a thump. It goes off first and on last, and
// thumps by itself, with the loudspeakers down (common practice, no published source).
func TestRelaysSwitchNoPhantomPower(t *testing.T) {
	const heard = "crosspoints: {relays: {out1: in1}, shade: {out1: in1}}"
	for _, c := range []struct {
		name, session string
		want          []string
	}{
		{"to the next microphone", "connect: [voice/out2 -> amplifier/mic1, amplifier/out1 -> speakers/in1]", []string{
			"person mute speakers/in1",
			"person phantom-off amplifier/mic1 <1",
			"relays switch out1:in2(in1) <2",
			"person phantom-on amplifier/mic1 <3",
			"person unmute speakers/in1 <4",
		}},
		{"to what is no microphone", "connect: [keys/out1 -> amplifier/mic1, amplifier/out1 -> speakers/in1]", []string{
			"person mute speakers/in1",
			"person phantom-off amplifier/mic1 <1",
			"relays switch out1:in3(in1) <2",
			"person unmute speakers/in1 <3",
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := written(t, stage, heard, c.session)
			w.arrange(t, 0)
			w.check(t, 0, tally{})
			if got := lines(w.plan.Steps); !slices.Equal(got, c.want) {
				t.Errorf("the steps are\n%s", strings.Join(got, "\n"))
			}
		})
	}
}

// Phantom power that comes on with a plug thumps as well: what it is heard from is unmuted after.
func TestUnmutedAfterPhantomIsOn(t *testing.T) {
	studio := strings.NewReplacer("  - relays/out1 -> amplifier/mic1\n", "  - main/b1 -> amplifier/mic1\n", "  - keys/out1 -> relays/in3\n", "  - keys/out1 -> main/t1\n",
		"  - voice/out1-2 -> relays/in1-2\n", "  - voice/out1 -> main/t2\n").Replace(stage)
	w := written(t, studio, "crosspoints: {shade: {out1: in1}}", "connect: [voice/out1 -> amplifier/mic1, amplifier/out1 -> speakers/in1]")
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	want := []string{
		"person mute speakers/in1",
		"person phantom-off amplifier/mic1 <1",
		"person plug main/t2 main/b1 <2",
		"person phantom-on amplifier/mic1 <3",
		"person unmute speakers/in1 <4",
	}
	if got := lines(w.plan.Steps); !slices.Equal(got, want) {
		t.Errorf("the steps are\n%s", strings.Join(got, "\n"))
	}
}
