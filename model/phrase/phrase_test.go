package phrase_test

import (
	"testing"

	"bayhand/model/phrase"
)

func TestPut(t *testing.T) {
	for _, one := range []struct{ got, want string }{
		{phrase.Put("turn down {amount} at {gear}", "amount", "3 dB", "gear", "desk"), "turn down 3 dB at desk"},
		{phrase.Put("{gear}: {gear}", "gear", "desk"), "desk: desk"},
		{phrase.Put("{a} and {b}", "a", "{b}", "b", "c"), "{b} and c"},
		{phrase.Put("keep {this} and {a}", "a", "x"), "keep {this} and x"},
		{phrase.Put("modes: {1: {a}}", "a", "x"), "modes: {1: x}"},
		{phrase.Put("an open { brace", "a", "x"), "an open { brace"},
		{phrase.Put(""), ""},
		{phrase.Count(1, "1 cord of {kind}", "{n} cords of {kind}", "kind", "TRS"), "1 cord of TRS"},
		{phrase.Count(0, "1 cord", "{n} cords"), "0 cords"},
	} {
		if one.got != one.want {
			t.Errorf("%q, want %q", one.got, one.want)
		}
	}
}
