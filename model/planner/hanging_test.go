package planner_test

import (
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/planner"
	"bayhand/model/planner/byhand"
)

// A cord that hangs from a microphone line now may stay, where it breaks a normal as the session
// asks, and neither a search nor counting says that more is to be done. No other one comes to
// hang there.
func TestCordHangsAtAMicrophone(t *testing.T) {
	const room = `studio: hanging
gear:
  mics: {outputs: {out1: microphone}}
  desk: {inputs: {in1: pro-line}}
bays: {main: {pairs: 2, jack: bantam, modes: {1: MODE, 2: isolated}}}
wiring: [mics/out1 -> main/t1, main/b1 -> desk/in1]
cords: {stock: {30 cm: 1}}
dummies: DUMMIES
`
	const hangs = "cords: [{ends: [main/t1]}]"
	for _, test := range []struct {
		mode, dummies, in string
		given             bool
		plugs             int
	}{
		{"normal", "1", hangs, true, 0},
		{"half-normal-top", "0", hangs, true, 0},
		{"half-normal-top", "1", "", true, 1},
		{"half-normal-top", "0", "", false, 0},
	} {
		r := byhand.Read(t, strings.NewReplacer("MODE", test.mode, "DUMMIES", test.dummies).Replace(room), "silent: [desk/in1]\n", test.in)
		for _, without := range [][]string{nil, {"bound", "route", "repair", "rebuild"}} {
			p, err := planner.FindWithout(t.Context(), heard.NewRoom(r.Studio), r.In, r.Session, floorOptions[0], without...)
			if err != nil {
				t.Fatal(err)
			}
			if p.Given != test.given || p.Plugs != test.plugs || p.Least != test.plugs {
				t.Errorf("%+v, without %v: given %v, %d plugs, at least %d: %+v", test, without, p.Given, p.Plugs, p.Least, p.Moves)
			}
		}
	}
}
