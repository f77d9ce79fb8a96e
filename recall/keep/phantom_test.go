package keep_test

import (
	"slices"
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	modeltext "bayhand/model/text"
	"bayhand/recall/keep"
)

// What hangs at an input that can supply phantom power, and is no microphone, is
// never given it: not at the end of a later recall that leaves it there either.
func TestPhantomStaysOffAtASynthesizer(t *testing.T) {
	onBench(t, func(b *bench) {
		s := wired()
		lines := studio.BuiltInLines()
		mic := lines[2]
		mic.Phantom = true
		keys, in := name.At("keys", "out", 1), name.At("amplifier", "mic", 1)
		s.Gear = append(s.Gear,
			studio.Gear{Name: "keys", Ports: []studio.Port{{Point: keys, Direction: studio.Output, Line: lines[1]}}},
			studio.Gear{Name: "amplifier", Ports: []studio.Port{{Point: in, Direction: studio.Input, Line: mic}}})
		s.Wires = append(s.Wires, studio.Wire{From: jack("b5"), To: in})
		b.studio, b.files.Studio = s, s
		b.files.Sessions = map[string]*session.Session{"keys": {Name: "keys", Program: -1, Wants: []session.Want{{Destination: in, Source: keys, Key: "connect[0]"}}}}
		config := b.config()
		config.Plan = planner.Make
		b.startWith(config)

		b.recall("keys")
		if left := steps(b.status().Left); !strings.Contains(left, "phantom-off mic1") {
			t.Fatalf("the plug would short phantom power, and the steps are %s", left)
		}
		b.allByHand()
		left, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: keep.RestName, Options: keep.RecallOptions{LeaveCords: true}})
		if err != nil {
			t.Fatal(err)
		}
		if text := steps(left.Left); strings.Contains(text, "phantom-on") {
			t.Errorf("phantom power is asked for on a synthesizer: %s", text)
		}
		for _, p := range b.status().Problems {
			if p.Code == "hushed" {
				t.Errorf("phantom power is missed on a synthesizer: %s", p.Message)
			}
		}
	})
}

// preamplifier has a microphone and a line that can come to an input with phantom power, and
// loudspeakers behind it.
const preamplifier = `studio: A preamplifier
gear:
  voice: {outputs: {out1-2: microphone}}
  keys: {outputs: {out1: pro-line}}
  amplifier: {inputs: {mic1-2: {line: microphone, phantom: true}}, outputs: {out1: pro-line}, passes: [mic1 -> out1]}
  speakers: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: person, at: monitor cut}}
bays:
  main: {pairs: 6, modes: isolated}
wiring:
  - voice/out1-2 -> main/t1-2
  - keys/out1 -> main/t3
  - main/b1-2 -> amplifier/mic1-2
  - amplifier/out1 -> main/t4
  - main/b4 -> speakers/in1
`

// preamplified starts a bench with that studio and some sessions.
func preamplified(b *bench, sessions map[string]string) {
	s, _, problems := modeltext.ReadStudio("studio.yaml", []byte(preamplifier))
	if problems.Errors() {
		b.t.Fatal(problems)
	}
	b.studio, b.files.Studio, b.files.Sessions = s, s, map[string]*session.Session{}
	for called, asks := range sessions {
		one, _, problems := modeltext.ReadSession(called+".yaml", []byte("session: "+called+"\nconnect: "+asks+"\n"), s, nil)
		if problems.Errors() {
			b.t.Fatal(problems)
		}
		one.Name = called
		b.files.Sessions[called] = one
	}
	config := b.config()
	config.Plan = planner.Make
	b.startWith(config)
}

// Phantom power that an earlier recall took off comes on with a thump: loudspeakers come up
// after it (common practice, no published source).
func TestPhantomComesBackBeforeLoudspeakers(t *testing.T) {
	onBench(t, func(b *bench) {
		preamplified(b, map[string]string{
			"voice": "[voice/out1 -> amplifier/mic1]",
			"heard": "[voice/out1 -> amplifier/mic1, keys/out1 -> speakers/in1]",
		})
		b.recall("voice")
		for _, s := range b.status().Left {
			if s.Do != "phantom-on" {
				b.tick(s.ID)
			}
		}
		status := b.recall("heard")
		on := slices.IndexFunc(status.Left, func(s plan.Step) bool { return s.Do == plan.PhantomOn })
		up := slices.IndexFunc(status.Left, func(s plan.Step) bool { return s.Do == plan.Unmute })
		if on < 0 || up < on || !slices.Contains(status.Left[up].After, status.Left[on].ID) {
			t.Errorf("left is %s", steps(status.Left))
		}
	})
}

// Phantom power that is off already at one input of a preamplifier is not asked for there again.
func TestPhantomThatIsOffIsNotAskedForAgain(t *testing.T) {
	onBench(t, func(b *bench) {
		preamplified(b, map[string]string{
			"one": "[voice/out1 -> amplifier/mic1]",
			"two": "[voice/out2 -> amplifier/mic1, voice/out1 -> amplifier/mic2]",
		})
		status := b.recall("one")
		if status.Left[0].Do != plan.PhantomOff {
			t.Fatalf("left is %s", steps(status.Left))
		}
		b.tick(status.Left[0].ID)
		status = b.recall("two")
		if got := steps(status.Left); !strings.HasPrefix(got, "1 phantom-off mic2;") {
			t.Errorf("left is %s", got)
		}
	})
}
