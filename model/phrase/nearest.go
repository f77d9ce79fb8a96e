package phrase

import (
	"slices"
	"strings"

	"github.com/agnivade/levenshtein"
)

const (
	// manyNames is where looking for the nearest takes longer than it is worth.
	manyNames = 5000
	// longName is a text that is no name.
	longName = 60
)

// Nearest is the name that a text is most likely meant to be, for the hint "did you mean";
// empty if none is near. Capital letters count as small ones, and a plural as the
// singular. Of names that are as near, it is the first of the alphabet. Its time is that of
// comparing the text with each name, letter by letter.
func Nearest(typed string, names []string) string {
	if len(names) > manyNames || len(typed) > longName {
		return ""
	}
	best, least := "", max(1, len([]rune(typed))/3)+1
	for _, name := range slices.Sorted(slices.Values(names)) {
		if d := distance(strings.ToLower(typed), strings.ToLower(name)); d < least {
			best, least = name, d
		}
	}
	return best
}

// distance is the number of letters to change, where two letters that changed places, a
// plural, or a word cut short at either end count as one.
func distance(typed, name string) int {
	d := levenshtein.ComputeDistance(typed, name)
	switch {
	case d < 2:
		return d
	case d == 2 && len(typed) == len(name) && sameLetters(typed, name), plural(typed, name), plural(name, typed):
		return 1
	case len(typed) > 3 && (strings.HasPrefix(name, typed) || strings.HasSuffix(name, typed)):
		return 1
	}
	return d
}

func plural(one, several string) bool {
	return several == one+"es" || strings.HasSuffix(one, "y") && several == one[:len(one)-1]+"ies"
}

func sameLetters(a, b string) bool {
	return slices.Equal(slices.Sorted(slices.Values([]byte(a))), slices.Sorted(slices.Values([]byte(b))))
}
