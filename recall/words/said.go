package words

import (
	"regexp"
	"strings"

	"bayhand/model/name"
)

// named finds what may be the name of a place in a sentence, with whatever
// stands against it.
var named = regexp.MustCompile(`[\pL\pN_./-]*[a-z][a-z0-9-]*/[\pL\pN_./-]+`)

// Said is a sentence with the names of places in it as words: "frees main/t3" is
// "frees main 3 top". What names no gear, bay, box or matrix of the studio stays
// as it is, and so do ranges and files. The result is safe to print in a line.
func (w *Places) Said(sentence string) string {
	return named.ReplaceAllStringFunc(Clean(sentence), func(text string) string {
		bare := strings.TrimRight(text, ".")
		p, err := name.Parse(bare)
		if err != nil || !w.known[p.Owner] {
			return text
		}
		return w.Point(p) + text[len(bare):]
	})
}
