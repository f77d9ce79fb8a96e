package paper

import (
	"slices"
	"testing"
)

// A name of a place stands in one piece, unless it is wider than a line.
func TestWrapKeepsNamesWhole(t *testing.T) {
	for _, test := range []struct {
		text  string
		width int
		want  []string
	}{
		{"a plug at main/t33 is moved", 15, []string{"a plug at", "main/t33 is", "moved"}},
		{"main/b40-43 = far/t1-4", 12, []string{"main/b40-43", "= far/t1-4"}},
		{"sent at usb-midi/out-left2", 16, []string{"sent at", "usb-midi/out-", "left2"}},
		{"interface/out1", 8, []string{"interfac", "e/out1"}},
		{"interface/out1 or/and in1", 11, []string{"interface/", "out1 or/and", "in1"}},
		{"levels at interface out 1 to 8, 12 dB", 23, []string{"levels at interface", "out 1 to 8, 12 dB"}},
		{"from -2 to +4 dBu at main 1 top", 26, []string{"from -2 to +4 dBu at", "main 1 top"}},
		{"is in since 2026-03-14", 15, []string{"is in since", "2026-03-14"}},
		{"interface out 1  30 cm", 16, []string{"interface out 1", "30 cm"}},
		{"in 11 -> out 9", 7, []string{"in 11", "->", "out 9"}},
		{"out 1 to 8", 6, []string{"out 1", "to 8"}},
		{"half- and half-normal", 10, []string{"half- and", "half-", "normal"}},
	} {
		if got := wrapColumns(test.text, test.width); !slices.Equal(got, test.want) {
			t.Errorf("%q in %d columns: %q, want %q", test.text, test.width, got, test.want)
		}
	}
}
