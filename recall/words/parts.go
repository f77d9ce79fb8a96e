package words

import (
	"slices"
	"strings"
	"unicode"
)

// Inseparable says whether a line keeps a word together with what follows it after a space,
// since both are one name or one range: "out 1", "main 1 top", "1 to 8". A number of four
// digits is that of a year.
func Inseparable(word, following string) bool {
	next, beyond := cutWord(following)
	switch {
	case word == "" || next == "":
		return false
	case numeral(next):
		return lettered(word)
	case next == "to":
		after, _ := cutWord(beyond)
		return numeral(word) && numeral(after)
	}
	return numeral(word) && slices.Contains([]string{"top", "bottom"}, strings.TrimRight(next, ".,:;()"))
}

// Parts are the parts of a sentence that a line keeps together, in their order: words, and
// names and ranges of several words. White space between them is one space.
func Parts(sentence string) []string {
	var all []string
	rest := strings.TrimSpace(sentence)
	for last := ""; rest != ""; {
		var word string
		whole := last != "" && Inseparable(last, rest)
		if word, rest = cutWord(rest); whole {
			all[len(all)-1] += " " + word
		} else {
			all = append(all, word)
		}
		last = word
	}
	return all
}

// cutWord is the first word of a text, and what follows it.
func cutWord(text string) (word, rest string) {
	text = strings.TrimLeftFunc(text, unicode.IsSpace)
	end := strings.IndexFunc(text, unicode.IsSpace)
	if end < 0 {
		return text, ""
	}
	return text[:end], strings.TrimLeftFunc(text[end:], unicode.IsSpace)
}

// numeral says whether a word begins as a number of up to three digits does.
func numeral(word string) bool {
	digits := strings.TrimLeft(word, "+-")
	after := strings.TrimLeft(digits, "0123456789")
	return len(digits) > len(after) && len(digits)-len(after) < 4
}

// lettered says whether a word is of letters only, without a mark after it.
func lettered(word string) bool {
	return strings.IndexFunc(word, func(r rune) bool { return !unicode.IsLetter(r) }) < 0
}
