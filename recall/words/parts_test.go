package words

import (
	"slices"
	"testing"
)

// A line keeps the number of a place with its name, and a range whole.
func TestParts(t *testing.T) {
	for _, c := range []struct {
		sentence string
		want     []string
	}{
		{"from main 1 top, that is", []string{"from", "main 1 top,", "that", "is"}},
		{"interface out 1-2 -> desk in 3", []string{"interface", "out 1-2", "->", "desk", "in 3"}},
		{"  1 to 8  of   2026", []string{"1 to 8", "of", "2026"}},
		{"done, 2 left", []string{"done,", "2", "left"}},
		{"", nil},
	} {
		if got := Parts(c.sentence); !slices.Equal(got, c.want) {
			t.Errorf("%q is %q, want %q", c.sentence, got, c.want)
		}
	}
}
