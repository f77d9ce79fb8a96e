package words_test

import (
	"slices"
	"testing"

	"bayhand/model/text"
	"bayhand/recall/words"
)

// The names that stand on a display are the port's own, or its gear's with the port.
func TestOnDisplays(t *testing.T) {
	s, _, problems := text.ReadStudio("studio.yaml", []byte(`studio: Names
gear:
  vocal: {label: Vocal mic, outputs: {out1: {line: pro-line}}}
  desk: {outputs: {out1: {line: pro-line, label: Bus left}}, inputs: {in1-2: pro-line}}
matrices:
  grid: {inputs: 3, outputs: 3}
wiring:
  - vocal/out1 -> grid/in1
  - desk/out1 -> grid/in3
  - grid/out2 -> desk/in2
`))
	if problems.Errors() {
		t.Fatal(problems)
	}
	outputs, inputs := words.OnDisplays(s, s.Matrices[0])
	if !slices.Equal(outputs, []string{"", "desk in2", ""}) || !slices.Equal(inputs, []string{"Vocal mic out1", "", "Bus left"}) {
		t.Errorf("outputs %q, inputs %q", outputs, inputs)
	}
}
