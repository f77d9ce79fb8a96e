package paper

import (
	"slices"
	"strings"
	"testing"

	"bayhand/model/heard"
	files "bayhand/model/text"
)

// What arrives far from what is wanted is on the sheet in one block, and a sheet on
// which all is as wanted has none. By hand: -10 dBV is -7.782 dBu (1 V is 2.218 dB above
// the square root of 0.6 V), and 1 kohm into 10 kohm loses 20 lg(10/11) = 0.828 dB:
// -8.609 dBu, 12.609 dB under +4 dBu.
func TestLevelsFarOffAreOnTheSheet(t *testing.T) {
	const src = `studio: S
gear:
  tape: {outputs: {out1-2: home-line}}
  desk: {outputs: {out1: pro-line}}
  deck: {inputs: {in1-3: pro-line}}
bays: {main: {pairs: 3, modes: isolated}}
wiring: [tape/out1-2 -> main/t1-2, desk/out1 -> main/t3, main/b1-3 -> deck/in1-3]
`
	s, _, problems := files.ReadStudio("studio.yaml", []byte(src))
	if problems.Errors() {
		t.Fatal(problems)
	}
	room := heard.NewRoom(s)
	const title = "3 dB or more from the level that is wanted"
	for wants, want := range map[string]string{
		"tape/out1-2 -> deck/in1-2, desk/out1 -> deck/in3": "deck in 1 and in 2, from tape out 1 and out 2: arrives at ",
		"desk/out1 -> deck/in3":                            "",
	} {
		asked, _, problems := files.ReadSession("off.yaml", []byte("session: Off\nconnect: ["+wants+"]\n"), s, nil)
		if problems.Errors() {
			t.Fatal(problems)
		}
		r := sheetOf(t, room, asked)
		at := slices.IndexFunc(r.Lists, func(l List) bool { return l.Title == title })
		switch {
		case want == "" && at >= 0:
			t.Errorf("where all is as wanted: %q", r.Lists[at].Lines)
		case want == "":
		case at < 0:
			t.Errorf("%s: no block among %v", wants, r.Lists)
		default:
			lines := r.Lists[at].Lines
			if len(lines) != 1 || !strings.HasPrefix(lines[0], want) || !strings.HasSuffix(lines[0], ", 12.6 dB under what is wanted") {
				t.Errorf("%s: %q", wants, lines)
			}
			if text := onSheet(t, r); !strings.Contains(text, title) {
				t.Errorf("not printed:\n%s", text)
			}
		}
	}
}
