package strip

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"github.com/rivo/uniseg"
)

// cuts are ever shorter forms of a text: without the word channel, with numbers
// joined to their words, with one word after another cut after a consonant and marked
// by a point, the longest first, and at last without its last letters. The last has one
// letter. A beginning is read more easily than a word without its vowels.
func cuts(text string) []string {
	text = strings.Join(slices.DeleteFunc(strings.Fields(text), isChannel), " ")
	all := []string{text}
	if joined := beforeNumber.ReplaceAllString(text, "$1$2"); joined != text {
		text = joined
		all = append(all, text)
	}
	for {
		shorter, ok := lessWord(text)
		if !ok {
			break
		}
		text = shorter
		all = append(all, text)
	}
	for {
		if text = lessLetter(text); text == "" {
			return all
		}
		all = append(all, text)
	}
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

// leastStem is how many letters stand before the point of a word that was cut.
const leastStem = 3

// lessWord cuts the longest word that can be cut, of equal ones the last.
func lessWord(text string) (shorter string, ok bool) {
	words := strings.Fields(text)
	at, longest, cut := 0, 0, ""
	for i, word := range words {
		if stem, ok := stemOf(word); ok && len(graphemes(word)) >= longest {
			at, longest, cut = i, len(graphemes(word)), stem
		}
	}
	if longest == 0 {
		return text, false
	}
	words[at] = cut
	return strings.Join(words, " "), true
}

// numbered is a word, the point where it was cut before, and a number at its end.
var numbered = regexp.MustCompile(`^(.*?\PN)(\.?)(\pN*)$`)

// stemOf cuts a word after the last consonant that a vowel follows, so that it becomes
// shorter. Its number stays.
func stemOf(word string) (stem string, ok bool) {
	parts := numbered.FindStringSubmatch(word)
	if parts == nil {
		return word, false
	}
	letters := graphemes(strings.TrimSuffix(parts[1], "."))
	last := len(letters) - 2 // two letters and no point, as the point takes the place of one
	if parts[2] != "" || strings.HasSuffix(parts[1], ".") {
		last = len(letters) - 1
	}
	for at := last; at >= leastStem; at-- {
		if isVowel(letters[at]) && !isVowel(letters[at-1]) {
			return strings.Join(letters[:at], "") + "." + parts[3], true
		}
	}
	return word, false
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
