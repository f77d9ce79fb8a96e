package check_test

import (
	"fmt"
	"slices"
	"testing"

	"bayhand/model/check"
)

// What a sleeve is joined with decides whether a shield hangs from nothing: the
// same wiring on bays of each kind.
func TestSleevesGroundShields(t *testing.T) {
	const wiring = `studio: Sleeves
gear:
  synth: {outputs: {out1-2: pro-line}}
  desk: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 2, modes: isolated%s}
wiring:
  - {from: synth/out1, to: main/t1, shield: destination}
  - {from: main/b1, to: desk/in1, shield: both}
  - {from: synth/out2, to: main/t2, shield: %s}
`
	for _, c := range []struct {
		ground, other string
		want          bool
	}{
		{", ground: separate", "both", true},
		{", ground: strapped", "both", false}, // the sleeve of the pair is joined with the desk
		{", ground: bussed", "both", false},   // the row is joined with the other output
		{", ground: bussed", "source", true},
		{"", "both", false}, // what the sleeves do is not known
	} {
		src := fmt.Sprintf(wiring, c.ground, c.other)
		found := slices.ContainsFunc(read(t, check.Example{Studio: src}), func(f check.Finding) bool { return f.Code == "shield-nowhere" })
		if found != c.want {
			t.Errorf("with%s and the other shield at %s: found %v", c.ground, c.other, found)
		}
	}
}
