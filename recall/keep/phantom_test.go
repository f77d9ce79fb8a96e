package keep_test

import (
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
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
