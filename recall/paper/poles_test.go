package paper

import (
	"strings"
	"testing"

	"bayhand/model/heard"
	files "bayhand/model/text"
)

// Where cords of two and of three poles are owned, each says which it is; where all are
// alike, none does.
func TestPolesWhereKindsAreMixed(t *testing.T) {
	for stock, want := range map[string]bool{"[{length: 60 cm, count: 2}, {length: 90 cm, count: 1, poles: 2}]": true, "{60 cm: 2}": false} {
		s, _, problems := files.ReadStudio("studio.yaml", []byte(`studio: S
gear: {tape: {outputs: {out1: pro-line}}, deck: {inputs: {in1: pro-line}}}
bays: {main: {pairs: 2, modes: isolated}}
wiring: [tape/out1 -> main/t1, main/b2 -> deck/in1]
cords: {stock: `+stock+`}
`))
		if problems.Errors() {
			t.Fatal(problems)
		}
		asked, _, problems := files.ReadSession("s.yaml", []byte("session: S\nconnect: [tape/out1 -> deck/in1]\n"), s, nil)
		if problems.Errors() {
			t.Fatal(problems)
		}
		var b strings.Builder
		if err := RecallText(&b, sheetOf(t, heard.NewRoom(s), asked), 0); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(b.String(), "TRS") != want {
			t.Errorf("%s:\n%s", stock, b.String())
		}
	}
}
