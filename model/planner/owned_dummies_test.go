package planner_test

import (
	"fmt"
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/planner"
	"bayhand/model/planner/byhand"
)

// Where a room says that it has no dummies and some are in, those are owned: they stay, they move,
// and what is lacking is lacking beside them, whichever search decides.
func TestDummiesThatAreInAreOwned(t *testing.T) {
	room := byhand.Home + "cords: {stock: {30 cm: 0}}\ndummies: 0\n"
	for _, test := range []struct {
		silent, in string
		plugs      int    // where there is a plan
		said       string // where there is none
	}{
		{"desk/in1", "main/b1", 0, ""},
		{"desk/in2", "main/b1", 2, ""},
		{"desk/in1, desk/in2", "main/b1", 0, "with 1 more dummy"},
	} {
		r := byhand.Read(t, room, "silent: ["+test.silent+"]\n", "dummies: ["+test.in+"]")
		for _, without := range [][]string{nil, {"bound", "route", "repair", "rebuild", "raise", "narrow"}} {
			p, err := planner.FindWithout(t.Context(), heard.NewRoom(r.Studio), r.In, r.Session, floorOptions[0], without...)
			if err != nil {
				t.Fatal(err)
			}
			if p.Given != (test.said == "") || p.Given && (p.Plugs != test.plugs || p.Least != test.plugs) {
				t.Errorf("%+v, without %v: given %v, %d plugs, at least %d: %+v", test, without, p.Given, p.Plugs, p.Least, p.Moves)
			}
			if !p.Given && !strings.Contains(fmt.Sprint(p.Missing), test.said) {
				t.Errorf("%+v, without %v: %+v", test, without, p.Missing)
			}
		}
	}
}
