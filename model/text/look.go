package text

import (
	"slices"
	"strings"
	"unicode"
)

// The functions below look for the column of a syntax error, of which the
// parser reports only a line, sometimes the one before.

// near is the first of the line, the one after and those before on which the
// column is found.
func near(s source, line int, column func(text []rune) int) Place {
	for _, l := range []int{line, line + 1} {
		if c := column(s.line(l)); c > 0 {
			return s.place(l, c)
		}
	}
	for l := line - 1; l > 0; l-- {
		if c := column(s.line(l)); c > 0 {
			return s.place(l, c)
		}
	}
	return firstMark(s, line)
}

// firstMark is the first character of the line that is no space.
func firstMark(s source, line int) Place {
	line = min(max(1, line), max(1, len(s.lines)))
	for i, r := range s.line(line) {
		if !unicode.IsSpace(r) {
			return s.place(line, i+1)
		}
	}
	return s.place(line, 1)
}

// colon finds the second colon of the line, or the only one: the text before it
// then goes on from the line above.
func colon(s source, line int) Place {
	text := s.line(line)
	last := 0
	for i, r := range text {
		if r == ':' && (i+1 == len(text) || text[i+1] == ' ') {
			if last > 0 {
				return s.place(line, i+1)
			}
			last = i + 1
		}
	}
	if last == 0 {
		return firstMark(s, line)
	}
	return s.place(line, last)
}

// bracket finds the first bracket of the line.
func bracket(open rune) func(s source, line int) Place {
	return func(s source, line int) Place {
		return near(s, line, func(text []rune) int { return slices.Index(text, open) + 1 })
	}
}

// noValue finds a comma with nothing before it.
func noValue(s source, line int) Place {
	return near(s, line+1, func(text []rune) int {
		before := ' '
		for i, r := range text {
			if r == ',' && strings.ContainsRune("[{,", before) {
				return i + 1
			}
			if r != ' ' {
				before = r
			}
		}
		return 0
	})
}

func noStart(s source, line int) Place {
	return near(s, line, func(text []rune) int {
		for i, r := range text {
			begins := i == 0 || strings.ContainsRune(" \t[{,", text[i-1])
			if begins && strings.ContainsRune("@`%\t", r) {
				return i + 1
			}
		}
		return 0
	})
}

func first(wanted string) func(s source, line int) Place {
	return func(s source, line int) Place {
		return near(s, line, func(text []rune) int {
			for i, r := range text {
				if strings.ContainsRune(wanted, r) {
					return i + 1
				}
			}
			return 0
		})
	}
}

// lateDash finds a dash that begins a list behind a key on the same line.
func lateDash(s source, line int) Place {
	if at := strings.Index(string(s.line(line)), ": - "); at >= 0 {
		return s.place(line, len([]rune(string(s.line(line))[:at]))+3)
	}
	return firstMark(s, line)
}

// blockMark finds the | or > that begins a block text.
func blockMark(s source, line int) Place {
	text := s.line(line)
	for i, r := range text {
		if i > 1 && (r == '|' || r == '>') && text[i-1] == ' ' && strings.ContainsRune(":-", text[i-2]) {
			return s.place(line, i+1)
		}
	}
	return firstMark(s, line)
}

// after is the line after the one reported.
func after(s source, line int) Place { return firstMark(s, line+1) }

var (
	tab     = first("\t")
	escape  = first(`\`)
	alias   = first("*&")
	tagMark = first("!")
	quote   = first(`"'`)
)
