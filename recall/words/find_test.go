package words_test

import (
	"strings"
	"testing"

	"bayhand/model/text"
	"bayhand/recall/words"
)

// What is printed can be typed; a number or a word that is not there leads to what is, in
// the words that were used.
func TestFind(t *testing.T) {
	s, _, problems := text.ReadStudio("studio.yaml", []byte(`studio: names
gear:
  interface: {label: 16-channel interface, outputs: {out1-8: pro-line}}
bays: {main: {pairs: 48, modes: {1-48: isolated}}, far: {pairs: 24, rows: [a, b], modes: {1-24: isolated}}}
boxes: {floor: {jacks: 8}}
matrices: {grid: {inputs: 4, outputs: 2}}
`))
	if problems.Errors() {
		t.Fatal(problems)
	}
	for typed, want := range map[string]string{
		"main/t7": "main/t7", "Main/T7": "main/t7", "main 7 top": "main/t7", "Main 7 Bottom": "main/b7", "16-channel interface out 3": "interface/out3",
		"main 400 top":                "there are main 1 top to main 48 top",
		"main 0 bottom":               "there are main 1 bottom to main 48 bottom",
		"far a99":                     "there are far a1 to far a24",
		"16-channel interface out 40": "there are 16-channel interface out 1 to 16-channel interface out 8",
		"grid in 9":                   "there are grid in 1 to grid in 4",
		"floor 9":                     "there are floor 1 to floor 8",
		"main 7":                      "there are main 7 top and main 7 bottom",
		"mian 7 top":                  "did you mean main 7 top?",
		"something else altogether":   "nothing in the studio is called something else altogether",
		"main/t400":                   "the bay main has no t400; its jacks are t1-48 and b1-48",
	} {
		p, err := words.Find(s, typed)
		if got := p.String(); err != nil && !strings.Contains(err.Error(), want) || err == nil && got != want {
			t.Errorf("%s is %s (%v), want %s", typed, got, err, want)
		}
	}
}
