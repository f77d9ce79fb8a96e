// Package phrase fills sentences. A sentence is whole, with named places, so that
// whoever translates it sees all of it and may order its places otherwise; no sentence is
// glued of pieces.
package phrase

import (
	"strconv"
	"strings"
)

// Put fills the named places of a sentence: Put("turn down {amount} at {gear}", "amount",
// "3 dB", "gear", "desk"). What is put into a place is taken as it is, with braces or
// without; a place that nothing fills stays as it is written. Its time is that of the
// sentence's length times the number of its places.
func Put(sentence string, places ...string) string {
	size := len(sentence)
	for i := 1; i < len(places); i += 2 {
		size += len(places[i])
	}
	var b strings.Builder
	b.Grow(size)
	for {
		before, rest, opened := strings.Cut(sentence, "{")
		b.WriteString(before)
		if !opened {
			return b.String()
		}
		name, after, closed := strings.Cut(rest, "}")
		value, found := valueOf(name, places)
		if !closed || !found {
			b.WriteByte('{')
			sentence = rest
			continue
		}
		b.WriteString(value)
		sentence = after
	}
}

// valueOf is what fills a place.
func valueOf(name string, places []string) (string, bool) {
	for i := 0; i+1 < len(places); i += 2 {
		if places[i] == name {
			return places[i+1], true
		}
	}
	return "", false
}

// Count is the sentence for one thing, or the one for none or several, whose number is at
// {n}; other named places are filled as Put does. Both are whole, since languages differ
// in what changes with a number.
func Count(n int, one, several string, places ...string) string {
	if n == 1 {
		several = one
	}
	return Put(several, append([]string{"n", strconv.Itoa(n)}, places...)...)
}
