package text

import (
	"strings"
	"unicode/utf8"
)

// Bounds on files that are read. The largest studio that is known has 140 kB;
// the bounds keep a hostile file from taking the machine.
const (
	maxSize  = 4 << 20
	maxDepth = 64
	// maxAliased bounds the parts that are read by way of aliases, all together.
	maxAliased = 10000
	// maxPoints bounds the points that ranges stand for, all together.
	maxPoints = 200000
	// mostTold are the mistakes of a file that are told one by one; mostCounted more
	// end its reading.
	mostTold    = 100
	mostCounted = 10000
)

const byteOrderMark = "\ufeff"

// source is a file with its lines. Lines end as YAML ends them: at a line feed,
// a carriage return, or both.
type source struct {
	file  string
	lines [][]rune
}

func newSource(file string, src []byte) source {
	text := strings.TrimPrefix(string(src), byteOrderMark)
	text = strings.ReplaceAll(text, "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	var lines [][]rune
	for line := range strings.SplitSeq(text, "\n") {
		lines = append(lines, []rune(line))
	}
	return source{file: file, lines: lines}
}

func (s source) place(line, column int) Place {
	return Place{File: s.file, Line: line, Column: column}
}

// line is line n counted from 1; empty if there is none.
func (s source) line(n int) []rune {
	if n < 1 || n > len(s.lines) {
		return nil
	}
	return s.lines[n-1]
}

// has says whether the text stands at the place, character by character.
func (s source) has(line, column int, text string) bool {
	from := s.line(line)
	if column < 1 || column-1 > len(from) {
		return false
	}
	from = from[column-1:]
	for _, r := range text {
		if len(from) == 0 || from[0] != r {
			return false
		}
		from = from[1:]
	}
	return true
}

// find is the place of the first occurrence of a text; the start of the file if
// there is none.
func (s source) find(text string) Place {
	for n := range s.lines {
		line := string(s.lines[n])
		if at := strings.Index(line, text); at >= 0 {
			return s.place(n+1, utf8.RuneCountInString(line[:at])+1)
		}
	}
	return s.place(1, 1)
}

// scan finds what no YAML file may hold: bytes that are not UTF-8, control
// characters, and line ends that editors do not count as such.
func scan(file string, src []byte) Problems {
	if len(src) > maxSize {
		return Problems{{Code: "size", Severity: Error, Place: Place{File: file},
			Message: "the file is larger than 4 MiB, the most that is read"}}
	}
	line, column := 1, 0
	rest := strings.TrimPrefix(string(src), byteOrderMark)
	for len(rest) > 0 {
		r, size := utf8.DecodeRuneInString(rest)
		column++
		if message := illegal(r, size); message != "" {
			return Problems{{Code: "character", Severity: Error, Place: Place{File: file, Line: line, Column: column}, Message: message}}
		}
		rest = rest[size:]
		if r == '\n' || r == '\r' && !strings.HasPrefix(rest, "\n") {
			line, column = line+1, 0
		}
	}
	return nil
}

func illegal(r rune, size int) string {
	switch {
	case r == utf8.RuneError && size == 1:
		return "this byte is not UTF-8; save the file as UTF-8"
	case r < ' ' && r != '\t' && r != '\n' && r != '\r', r >= 0x7f && r < 0xa0 && r != 0x85:
		return "a control character stands here; take it out"
	case r == 0x85 || r == 0x2028 || r == 0x2029:
		return "a line separator stands here that editors do not count as the end of a line; write a plain line end or a space"
	case r == 0xfeff || r == 0xfffe || r == 0xffff:
		return "a byte order mark or a code that is no character stands here; take it out"
	}
	return ""
}
