package level_test

import (
	"testing"

	"bayhand/model/heard"
	"bayhand/model/level"
	"bayhand/model/text"
)

// A chain through gear: 4 dB come off before it and 1 dB behind, since each
// piece of gear takes its own input's level to its own output's.
func TestChain(t *testing.T) {
	s, _, problems := text.ReadStudio("studio.yaml", []byte(`studio: A chain
lines: {soft: {kind: line, level: +4 dBu, max: +12 dBu, source: 1 kohm, load: 10 kohm, balanced: true}}
gear:
  s: {outputs: {out1: {line: pro-line, level: 0 dBu, source: 1 ohm}}}
  box: {channels: 1, line: soft}
  x: {inputs: {in1-2: pro-line}}
  tape: {inputs: {in1: home-line}}
wiring: [s/out1 -> box/in1, "box/out1 -> [x/in1, x/in2]"]
`))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	session, _, problems := text.ReadSession("mix.yaml", []byte("session: Mix\nconnect:\n  - voice: s/out1 -> box/1 -> x/in1\n  - s/out1 -> tape/in1\n"), s, nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	chains := level.New(heard.NewRoom(s), s.Rest, level.Options{}).Chains(session)
	if len(chains) != 1 {
		t.Fatalf("%d chains; what is not heard has none", len(chains))
	}
	c := chains[0]
	if c.Label != "voice" || len(c.Links) != 2 || c.Clips.String() != "box/in1" {
		t.Errorf("%s has %d links and clips at %s", c.Label, len(c.Links), c.Clips)
	}
	near(t, "the headroom", c.Headroom.Low, 12+0.0009)
	// The tone is 4 dB under the working level of box, and 1 kohm into 5 kohm
	// (two inputs) costs 1.5836 dB.
	near(t, "the end", c.Reads.Low, -0.0009-1.5836)
	if len(c.Turns) > 0 {
		t.Errorf("something is to be turned down: %v", c.Turns)
	}
}
