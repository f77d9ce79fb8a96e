package text

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/rivo/uniseg"
)

// widest is how much of a long line is shown, in characters.
const widest = 120

// Excerpt is the line of a place with a caret under the column, two lines
// without a line end after them; empty for a place that the file does not have.
func Excerpt(src []byte, p Place) string {
	line, at, ok := nearby(src, p)
	if !ok {
		return ""
	}
	return string(line) + "\n" + under(line[:at]) + "^"
}

// Around is what Excerpt shows of the line of a place, and the column of the place in
// it, counted from 1 in characters; empty for a place that the file does not have.
func Around(src []byte, p Place) (line string, column int) {
	found, at, ok := nearby(src, p)
	if !ok {
		return "", 0
	}
	return string(found), at + 1
}

// nearby is the part of a line that is shown, and where in it a place is. It takes
// time in proportion to the file up to there, and memory for the line only, so that
// many excerpts of a large file cost little.
func nearby(src []byte, p Place) (line []rune, at int, ok bool) {
	if p.Line < 1 || p.Column < 1 {
		return nil, 0, false
	}
	whole, ok := lineAt(src, p.Line)
	if !ok {
		return nil, 0, false
	}
	from, before := shown(whole, p.Column-1)
	line = harmless([]rune(string(from)))
	at = min(p.Column-1-before, len(line))
	line, at = window(line, at)
	if before > 0 && len(line) > 0 {
		line[0] = '…'
	}
	return line, at, true
}

// harmless puts a mark in the place of what a terminal obeys and does not show.
func harmless(line []rune) []rune {
	for n, c := range line {
		if Obeyed(c) {
			line[n] = unicode.ReplacementChar
		}
	}
	return line
}

// Obeyed says whether a character is one that a terminal obeys and does not show: a control
// character but the tab, of which an escape begins a command, and what makes the text after
// it run the other way (Unicode Standard Annex 9: embeddings, overrides and isolates).
func Obeyed(c rune) bool {
	return c != '\t' && unicode.IsControl(c) || c >= '\u202a' && c <= '\u202e' || c >= '\u2066' && c <= '\u2069'
}

// lineAt is a line of a file, counted from 1 and parted as YAML parts lines: at a line
// feed, a carriage return, or both.
func lineAt(src []byte, number int) ([]byte, bool) {
	src = bytes.TrimPrefix(src, []byte(byteOrderMark))
	for {
		line, rest, more := cutLine(src)
		if number--; number == 0 {
			return line, true
		}
		if !more {
			return nil, false
		}
		src = rest
	}
}

// cutLine parts a text at the end of its first line; more is false for its last.
func cutLine(src []byte) (line, rest []byte, more bool) {
	end := bytes.IndexByte(src, '\n')
	line = src
	if end >= 0 {
		line, rest, more = src[:end], src[end+1:], true
	}
	switch cr := bytes.IndexByte(line, '\r'); {
	case cr < 0:
	case cr == end-1:
		line = line[:cr]
	default:
		line, rest, more = src[:cr], src[cr+1:], true
	}
	return line, rest, more
}

// shown is a line from at most widest characters before a character on, and as many
// after it, with how many characters are left out before it.
func shown(line []byte, at int) (from []byte, before int) {
	skipped := 0
	for before < at-widest && skipped < len(line) {
		_, size := utf8.DecodeRune(line[skipped:])
		skipped += size
		before++
	}
	from = line[skipped:]
	return from[:min(len(from), 3*widest*utf8.UTFMax)], before
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
