package check

import (
	"fmt"
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// The nearest two jacks that are used decide, and the plugs that a cord has.
func TestCordsThatReachNowhere(t *testing.T) {
	for _, c := range []struct{ stock, bays, want string }{
		{"{12 cm: 3}", "main: {pairs: 8, jack: bantam, modes: isolated}", "the 3 cords of 12 cm owned reach between no two jacks that are used: it takes "},
		{"{12 cm: 1, 60 cm: 1}", "main: {pairs: 8, jack: bantam, modes: isolated}", "the 1 cord of 12 cm owned "},
		{"[{length: 60 cm, count: 2, ends: [quarter-inch, quarter-inch]}]", "main: {pairs: 8, jack: bantam, modes: isolated}", "no two jacks that are used take the plugs of the 2 cords of 60 cm owned"},
		{"{60 cm: 3}", "main: {pairs: 8, jack: bantam, modes: isolated}", ""},
		{"{12 cm: 0, 60 cm: 1}", "main: {pairs: 8, jack: bantam, modes: isolated}", ""},
	} {
		src := `studio: S
gear: {tape: {outputs: {out1: pro-line}}, deck: {inputs: {in1: pro-line}}}
bays: {` + c.bays + `}
wiring: [tape/out1 -> main/t1, main/b8 -> deck/in1]
cords: {stock: ` + c.stock + `, slack: 10 cm}
`
		s, places, problems := text.ReadStudio("studio.yaml", []byte(src))
		if problems.Errors() {
			t.Fatal(problems)
		}
		said := shortIn(s, places)
		switch {
		case c.want == "" && len(said) > 0, c.want != "" && (len(said) != 1 || !strings.HasPrefix(said[0], c.want)):
			t.Errorf("%s: %q, want %q", c.stock, said, c.want)
		}
	}
}

func shortIn(s *studio.Studio, places text.Places, kept ...patch.Patch) []string {
	var said []string
	for _, f := range Studio(heard.NewRoom(s), places, kept...) {
		if f.Code == "cords-short" {
			said = append(said, f.Message)
		}
	}
	return said
}

// Jacks that nothing is wired to are used where a session keeps a cord between them.
func TestCordsOfSessionsReach(t *testing.T) {
	s, places, problems := text.ReadStudio("studio.yaml", []byte(fmt.Sprintf(twoWired, "12 cm: 4, 60 cm: 2")))
	if problems.Errors() {
		t.Fatal(problems)
	}
	s.Stock.Slack = 5 * measure.Centimetre
	near := patch.Patch{Cords: []patch.Cord{{A: name.At("main", "t", 3), B: name.At("main", "b", 3)}}}
	if said := shortIn(s, places); len(said) != 1 {
		t.Errorf("without a session: %q", said)
	}
	far := patch.Patch{Cords: []patch.Cord{{A: name.At("main", "t", 1), B: name.At("main", "b", 8)}}}
	if said := shortIn(s, places, far); len(said) != 1 {
		t.Errorf("with a session whose cord is long: %q", said)
	}
	if said := shortIn(s, places, far, near); len(said) != 0 {
		t.Errorf("with a session whose cord is short: %q", said)
	}
}
