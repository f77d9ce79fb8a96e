package check

import (
	"strings"
	"testing"

	"bayhand/model/heard"
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
		var said []string
		for _, f := range Studio(heard.NewRoom(s), places) {
			if f.Code == "cords-short" {
				said = append(said, f.Message)
			}
		}
		switch {
		case c.want == "" && len(said) > 0, c.want != "" && (len(said) != 1 || !strings.HasPrefix(said[0], c.want)):
			t.Errorf("%s: %q, want %q", c.stock, said, c.want)
		}
	}
}
