package text

import (
	"strings"
	"unicode"

	"golang.org/x/text/width"
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

// under is white space as wide as the text is on a terminal.
func under(text []rune) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == '\t':
			b.WriteByte('\t')
		case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		case wide(r):
			b.WriteString("  ")
		default:
			b.WriteByte(' ')
		}
	}
	return b.String()
}

// wide says whether terminals give the character two columns (Unicode Standard
// Annex 11, East Asian Width).
func wide(r rune) bool {
	k := width.LookupRune(r).Kind()
	return k == width.EastAsianWide || k == width.EastAsianFullwidth
}
