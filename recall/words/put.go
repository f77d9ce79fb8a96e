package words

import (
	"strconv"
	"strings"
)

// Put fills the named places of a sentence: Put("turn down {amount} at {gear}", "amount",
// "3 dB", "gear", "desk"). A sentence is whole, so that whoever translates it sees all of
// it and may order its places otherwise. What is put into a place is taken as it is, with
// braces or without.
func Put(sentence string, places ...string) string {
	pairs := make([]string, 0, len(places))
	for i := 0; i+1 < len(places); i += 2 {
		pairs = append(pairs, "{"+places[i]+"}", places[i+1])
	}
	return strings.NewReplacer(pairs...).Replace(sentence)
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
