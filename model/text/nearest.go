package text

import (
	"strings"

	"bayhand/model/phrase"
)

// maybe is the hint that leads to a legal word, from a word of the trade that means
// the same or from one that is written nearly so; empty for neither.
func maybe(text string, legal []string) string {
	if hint := meant(text, legal); hint != "" {
		return hint
	}
	if word := phrase.Nearest(text, legal); word != "" {
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
