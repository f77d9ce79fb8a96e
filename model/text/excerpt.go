package text

import (
	"strings"

	"github.com/rivo/uniseg"
)

// widest is how much of a long line is shown, in characters.
const widest = 120

// Excerpt is the line of a place with a caret under the column, two lines
// without a line end after them; empty for a place that the file does not have.
func Excerpt(src []byte, p Place) string {
	if p.Line < 1 || p.Column < 1 {
		return ""
	}
	s := newSource(p.File, src)
	if p.Line > len(s.lines) {
		return ""
	}
	line := s.line(p.Line)
	at := min(p.Column-1, len(line))
	line, at = window(line, at)
	return string(line) + "\n" + under(line[:at]) + "^"
}

// window cuts a long line down to the part around the column.
func window(line []rune, at int) ([]rune, int) {
	from := 0
	if len(line) > widest {
		from = max(0, min(at-widest/2, len(line)-widest))
		to := from + widest
		cut := append([]rune(nil), line[from:to]...)
		if from > 0 {
			cut[0] = '…'
		}
		if to < len(line) {
			cut[len(cut)-1] = '…'
		}
		line = cut
	}
	return line, at - from
}

// under is white space as wide as the text is on a terminal: a character with its
// marks, or several that are one picture, in one or two columns (Unicode Standard
// Annexes 11 and 29).
func under(text []rune) string {
	parts := strings.Split(string(text), "\t")
	for i, part := range parts {
		parts[i] = strings.Repeat(" ", uniseg.StringWidth(part))
	}
	return strings.Join(parts, "\t")
}
