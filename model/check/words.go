package check

import (
	"strings"

	"bayhand/model/phrase"
)

// sentence joins phrases as one would say them: a, b and c.
func sentence(phrases []string) string {
	switch n := len(phrases); n {
	case 0:
		return ""
	case 1:
		return phrases[0]
	default:
		return phrase.Put("{items} and {last}", "items", strings.Join(phrases[:n-1], ", "), "last", phrases[n-1])
	}
}
