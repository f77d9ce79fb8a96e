package words

import (
	"regexp"
	"strings"

	"bayhand/model/name"
)

// named finds what may be the name of a place or of several in a sentence, with whatever
// stands against it.
var named = regexp.MustCompile(`[\pL\pN_./-]*[a-z][a-z0-9-]*/[\pL\pN_./-]+(?:,[0-9]+(?:-[0-9]+)?)*`)

// Said is a sentence with the names of places in it as words: "frees main/t3" is
// "frees main 3 top", and "main/b1-3,5" is "main 1-3,5 bottom". What names no gear, bay, box
// or matrix of the studio stays as it is, and so do files and ranges of ports that have
// labels, and what is to be typed, between backquotes. The result is safe to print in a line.
func (w *Places) Said(sentence string) string {
	parts := strings.Split(Clean(sentence), "`")
	for i, part := range parts {
		if typed := i%2 == 1 && i < len(parts)-1; !typed {
			parts[i] = w.said(part)
		}
	}
	return strings.Join(parts, "`")
}

func (w *Places) said(sentence string) string {
	return named.ReplaceAllStringFunc(w.ranges(w.columns(sentence)), func(text string) string {
		bare := strings.TrimRight(text, ".")
		p, err := name.Parse(bare)
		if err != nil || !w.known[p.Owner] {
			return text
		}
		return w.Point(p) + text[len(bare):]
	})
}
