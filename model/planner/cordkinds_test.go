package planner

import (
	"testing"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
	"bayhand/model/text"
)

// Whatever kinds of cord are scarce, the words name them: all that differs among the cords
// owned, and nothing that does not.
func TestKindsOfCordInWords(t *testing.T) {
	const (
		plain   = "{length: 30 cm, ends: [bantam, bantam], poles: 3, colour: blue, count: 2}"
		long    = "{length: 90 cm, ends: [bantam, bantam], poles: 3, colour: blue, count: 2}"
		red     = "{length: 30 cm, ends: [bantam, bantam], poles: 3, colour: red, count: 2}"
		two     = "{length: 30 cm, ends: [bantam, bantam], poles: 2, colour: blue, count: 2}"
		redLong = "{length: 90 cm, ends: [bantam, bantam], poles: 2, colour: red, count: 2}"
		mixed   = "{length: 30 cm, ends: [quarter-inch, bantam], poles: 3, colour: blue, count: 2}"
	)
	for _, test := range []struct {
		owned  []string
		scarce []int // by number in the stock, which is sorted by length
		want   string
	}{
		{[]string{plain}, []int{0}, "cords"},
		{[]string{plain, long}, []int{0, 1}, "cords of any kind"},
		{[]string{plain, long}, []int{1}, "cords of 90 cm"},
		{[]string{plain, red}, []int{1}, "red cords"},
		{[]string{plain, two}, []int{1}, "TS cords"},
		{[]string{plain, two}, []int{0}, "TRS cords"},
		{[]string{plain, mixed}, []int{1}, "cords from bantam to quarter-inch"},
		{[]string{plain, mixed, long}, []int{0, 1}, "cords of 30 cm"},
		{[]string{plain, mixed, long}, []int{0, 2}, "cords with bantam plugs"},
		{[]string{plain, two, red, redLong}, []int{3}, "cords of 90 cm"},
		{[]string{plain, long, red}, []int{1, 2}, "blue cords of 90 cm or red cords of 30 cm"},
	} {
		stock := ""
		for _, k := range test.owned {
			stock += "    - " + k + "\n"
		}
		p := problemOfStock(t, stock)
		var kinds []*plan.OwnedCord
		for _, k := range test.scarce {
			kinds = append(kinds, ownedCord(p, k))
		}
		if got := kindsWords(p, kinds, "cords"); got != test.want {
			t.Errorf("of %v, %v are scarce: %q; it should say %q", test.owned, test.scarce, got, test.want)
		}
	}
}

func problemOfStock(t *testing.T, stock string) *problem.Problem {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(`studio: kinds
gear:
  synth: {outputs: {out1: pro-line}}
  desk:  {inputs: {in1: pro-line}}
bays: {main: {pairs: 1, jack: bantam, modes: {1: isolated}}}
wiring: [synth/out1 -> main/t1, main/b1 -> desk/in1]
cords:
  slack: 10 cm
  stock:
`+stock))
	if problems.Errors() {
		t.Fatal(problems)
	}
	p, err := problem.New(heard.NewRoom(s), patch.Patch{}, &session.Session{Name: "s"}, problem.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}
