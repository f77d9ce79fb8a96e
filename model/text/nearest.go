package text

import (
	"slices"
	"strings"

	"github.com/agnivade/levenshtein"

	"bayhand/model/phrase"
)

// manyWords is where looking for the nearest takes longer than it is worth.
const manyWords = 5000

// nearest is the legal word that the text is most likely meant to be; empty if
// none is near.
func nearest(text string, legal []string) string {
	if len(legal) > manyWords || len(text) > longestQuote {
		return ""
	}
	best, least := "", max(1, len([]rune(text))/3)+1
	for _, word := range slices.Sorted(slices.Values(legal)) {
		if d := distance(strings.ToLower(text), strings.ToLower(word)); d < least {
			best, least = word, d
		}
	}
	return best
}

// distance is the number of letters to change, where two letters that changed
// places, or a word cut short at either end, count as one.
func distance(text, word string) int {
	d := levenshtein.ComputeDistance(text, word)
	if d == 2 && len(text) == len(word) && sameLetters(text, word) {
		return 1
	}
	if len(text) > 3 && (strings.HasPrefix(word, text) || strings.HasSuffix(word, text)) {
		return 1
	}
	return d
}

func sameLetters(a, b string) bool {
	return slices.Equal(slices.Sorted(slices.Values([]byte(a))), slices.Sorted(slices.Values([]byte(b))))
}

// Nearest is the name that a text is most likely meant to be; empty if none is near.
func Nearest(text string, names []string) string { return nearest(text, names) }

// maybe is the hint that leads to a legal word, from a word of the trade that means
// the same or from one that is written nearly so; empty for neither.
func maybe(text string, legal []string) string {
	if hint := meant(text, legal); hint != "" {
		return hint
	}
	if word := nearest(text, legal); word != "" {
		return phrase.Put("did you mean {word}?", "word", word)
	}
	return ""
}

const fewWords = 12

// oneOf lists words for a message: a, b or c.
func oneOf(words []string) string {
	switch {
	case len(words) == 0:
		return "none"
	case len(words) == 1:
		return words[0]
	case len(words) > fewWords:
		return phrase.Put("{words} and others", "words", strings.Join(words[:fewWords], ", "))
	}
	return phrase.Put("{words} or {last}", "words", strings.Join(words[:len(words)-1], ", "), "last", words[len(words)-1])
}
