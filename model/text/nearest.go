package text

import (
	"slices"
	"strings"

	"github.com/agnivade/levenshtein"
)

// manyWords is where looking for the nearest takes longer than it is worth.
const manyWords = 5000

// nearest is the legal word that the text is most likely meant to be; empty if
// none is near.
func nearest(text string, legal []string) string {
	if len(legal) > manyWords || len(text) > longestQuote {
		return ""
	}
	best, least := "", max(2, len([]rune(text))/3)+1
	for _, word := range slices.Sorted(slices.Values(legal)) {
		distance := levenshtein.ComputeDistance(strings.ToLower(text), strings.ToLower(word))
		if distance < least {
			best, least = word, distance
		}
	}
	return best
}

// maybe is the hint that names the nearest legal word; without one near it
// lists the legal ones, if they are few.
func maybe(text string, legal []string) string {
	if word := nearest(text, legal); word != "" {
		return "did you mean " + word + "?"
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
		return strings.Join(words[:fewWords], ", ") + " and others"
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
