package words

import "bayhand/model/phrase"

// Put fills the named places of a sentence, as phrase.Put.
func Put(sentence string, places ...string) string { return phrase.Put(sentence, places...) }

// Count is the sentence for one thing, or for several, as phrase.Count.
func Count(n int, one, several string, places ...string) string {
	return phrase.Count(n, one, several, places...)
}
