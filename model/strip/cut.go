package strip

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"github.com/rivo/uniseg"
)

// cuts are ever shorter forms of a text: without the word channel, with numbers
// joined to their words, without one vowel after another from the right, and at
// last without its last letters. The last has one letter.
func cuts(text string) []string {
	var all []string
	add := func(t string) {
		if t != "" && t != text {
			all = append(all, t)
		}
	}
	text = strings.Join(slices.DeleteFunc(strings.Fields(text), isChannel), " ")
	all = append(all, text)
	text = beforeNumber.ReplaceAllString(text, "$1$2")
	add(text)
	for {
		shorter, ok := lessVowel(text)
		if !ok {
			break
		}
		text = shorter
		all = append(all, text)
	}
	for text != "" {
		all = append(all, text)
		text = strings.TrimSpace(lessLetter(text))
	}
	return all
}

// beforeNumber is the space between a word and its number.
var beforeNumber = regexp.MustCompile(`(\pL) (\pN)`)

func isChannel(word string) bool {
	word = strings.ToLower(word)
	return word == "channel" || word == "channels"
}

// vowels of the Latin, Greek and Cyrillic scripts, without their accents.
const vowels = "aeiouyäöüåæøœαεηιουωаеёиоуыэюяіїєў"

// accented tells the vowels that carry an accent in one code point.
const accented = "áàâãāăąéèêëēĕėęěíìîïĩīĭįóòôõōŏőúùûũūŭůűųýÿŷάέήίόύώϊϋΐΰ"

func isVowel(letter string) bool {
	first := []rune(strings.ToLower(letter))[0]
	return strings.ContainsRune(vowels, first) || strings.ContainsRune(accented, first)
}

// lessVowel takes away the last vowel that is not the first letter of its word, in
// a word of more than three letters.
func lessVowel(text string) (shorter string, ok bool) {
	words := strings.Fields(text)
	for i := len(words) - 1; i >= 0; i-- {
		letters := graphemes(words[i])
		if len(letters) <= 3 {
			continue
		}
		for at := len(letters) - 1; at > 0; at-- {
			if isVowel(letters[at]) {
				words[i] = strings.Join(slices.Delete(letters, at, at+1), "")
				return strings.Join(words, " "), true
			}
		}
	}
	return text, false
}

// lessLetter takes away the last letter, and one that would be left without its
// word.
func lessLetter(text string) string {
	letters := graphemes(text)
	if len(letters) == 0 {
		return ""
	}
	return strings.TrimRightFunc(strings.Join(letters[:len(letters)-1], ""), unicode.IsSpace)
}

// graphemes are what a person takes for letters (UAX #29).
func graphemes(text string) []string {
	var all []string
	g := uniseg.NewGraphemes(text)
	for g.Next() {
		all = append(all, g.Str())
	}
	return all
}
