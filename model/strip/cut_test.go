package strip

import (
	"slices"
	"testing"
)

// A name that is cut is read as the beginning of its word, with a point; its number
// stays.
func TestCutsAreReadable(t *testing.T) {
	for text, want := range map[string][]string{
		"Interface in":            {"Interface in", "Interf. in", "Int. in"},
		"Variable equaliser out":  {"Variable equalis. out", "Variable equal. out", "Var. equal. out"},
		"interface 3":             {"interface3", "interf.3"},
		"channel 12 preamplifier": {"12 preampl."},
		"Nagra":                   {"Nagr"},
	} {
		all := cuts(text)
		for _, one := range want {
			if !slices.Contains(all, one) {
				t.Errorf("%q is cut to %q, and never to %q", text, all, one)
			}
		}
		for i := 1; i < len(all); i++ {
			if len(graphemes(all[i])) >= len(graphemes(all[i-1])) {
				t.Errorf("%q is no shorter than %q", all[i], all[i-1])
			}
		}
	}
}
