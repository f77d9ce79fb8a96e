package check

import "strings"

// sentence joins phrases as one would say them: a, b and c.
func sentence(phrases []string) string {
	switch n := len(phrases); n {
	case 0:
		return ""
	case 1:
		return phrases[0]
	default:
		return strings.Join(phrases[:n-1], ", ") + " and " + phrases[n-1]
	}
}
