package suspect_test

import (
	"fmt"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/suspect"
	"bayhand/model/text"
)

// What goes into a power amplifier is heard from whatever hangs on it, though the file names no
// loudspeakers; where it does, who answers for these answers for the amplifier.
func TestPowerAmplifiersAreSpared(t *testing.T) {
	s, _, problems := text.ReadStudio("studio.yaml", []byte(`studio: Amplifiers
gear:
  recorder: {inputs: {in1: pro-line}}
  alone: {inputs: {in1: pro-line}, outputs: {out1: loudspeaker}}
  hall-amp: {inputs: {in1-2: pro-line}, outputs: {out1-2: loudspeaker}, passes: [in1-2 -> out1-2]}
  hall: {inputs: {in1: loudspeaker}, role: loudspeaker, mute: {by: person, at: rack}}
  bare: {inputs: {in1: loudspeaker}}
wiring: [hall-amp/out1 -> hall/in1]
`))
	if problems.Errors() {
		t.Fatal(problems)
	}
	room := graph.New(s)
	for answered, want := range map[string]string{
		"":     "[alone/in1 hall-amp/in1 hall-amp/in2 hall/in1 bare/in1]",
		"hall": "[alone/in1 hall-amp/in2 bare/in1]",
	} {
		got := fmt.Sprint(suspect.Spared(room, func(gear string, _ name.Point) bool { return gear == answered }))
		if got != want {
			t.Errorf("where somebody answers for %q, spared are %s, want %s", answered, got, want)
		}
	}
}
