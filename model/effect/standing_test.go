package effect_test

import (
	"strings"
	"testing"

	"bayhand/model/effect"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/text"
)

const loft = `
studio: Loft
gear:
  keys: {outputs: {out1-2: pro-line}}
  mix: {inputs: {in1-2: pro-line}, outputs: {out1: pro-line}, passes: [in1-2 => out1]}
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: microphone}, outputs: {out1: pro-line}, passes: [mic1 -> out1]}
  speakers: {inputs: {in1: pro-line}, role: loudspeaker}
bays:
  main: {pairs: 4, modes: isolated}
wiring:
  - keys/out1-2 -> main/t1-2
  - mix/out1 -> main/t3
  - mics/out1 -> voice/mic1
  - voice/out1 -> main/t4
  - main/b1-2 -> mix/in1-2
  - main/b3 -> speakers/in1
rest: {cords: [main/t3 - main/b3]}
`

func room(t *testing.T) *heard.Room {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(loft))
	if problems.Errors() {
		t.Fatal(problems)
	}
	return heard.NewRoom(s)
}

func cord(a, b name.Point) patch.Patch { return patch.Patch{Cords: []patch.Cord{{A: a, B: b}}} }

// What harms stands in the state of a patch; a loop that is allowed does not, and neither
// does what the rest patch has too.
func TestStanding(t *testing.T) {
	r := room(t)
	top, bottom := r.Studio().Bays[0].TopJack, r.Studio().Bays[0].BottomJack
	joined, loop := cord(top(1), top(2)), cord(top(3), bottom(1))
	for _, c := range []struct {
		name         string
		in, rest     patch.Patch
		allow        []name.Point
		joins, loops int
	}{
		{"rest", r.Studio().Rest, r.Studio().Rest, nil, 0, 0},
		{"outputs are joined", joined, r.Studio().Rest, nil, 1, 0},
		{"a signal goes round", loop, r.Studio().Rest, nil, 0, 1},
		{"round, and it is meant", loop, r.Studio().Rest, []name.Point{name.At("mix", "in", 1)}, 0, 0},
		{"joined in the rest patch too", joined, joined, nil, 0, 0},
		{"round in the rest patch too", loop, loop, nil, 0, 0},
	} {
		s := *r.Studio()
		s.Rest = c.rest
		of := heard.NewRoom(&s)
		e := effect.Standing(of, of.Hear(c.in), nil, c.allow)
		if len(e.Joins) != c.joins || len(e.Loops) != c.loops {
			t.Errorf("%s: joined %v, round %v", c.name, e.Joins, e.Loops)
		}
	}
}

// Of a patch that is no rest patch nothing is said as of one: here a microphone comes to
// a loudspeaker.
func TestCautionsAreOfThePatch(t *testing.T) {
	r := room(t)
	top, bottom := r.Studio().Bays[0].TopJack, r.Studio().Bays[0].BottomJack
	e, _ := effect.Of(r, &session.Session{}, patch.Patch{}, cord(top(4), bottom(3)))
	said := false
	for _, c := range e.Cautions {
		said = said || strings.Contains(c.Message, "with this patch speakers/in1 is fed by")
		if strings.Contains(c.Message, "rest patch") {
			t.Errorf("%s: %s", c.Code, c.Message)
		}
	}
	if !said {
		t.Errorf("said is %v", e.Cautions)
	}
}
