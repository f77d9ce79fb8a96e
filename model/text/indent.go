package text

import "strings"

// level is a column at which keys, or the dashes of a list, begin.
type level struct {
	column int
	dash   bool
}

// indentation finds the line at which the indentation goes wrong: one that
// begins between two open levels, or that has a key among dashes or a dash among
// keys. The parser reports only where the mapping or list began.
func indentation(s source, line int) Place {
	var levels []level
	for n := 1; n <= len(s.lines); n++ {
		text := strings.TrimRight(string(s.line(n)), " ")
		mark := strings.TrimLeft(text, " ")
		if mark == "" || mark[0] == '#' {
			continue
		}
		fits := true
		levels, fits = openLevels(levels, len(text)-len(mark), mark)
		if !fits && n >= line {
			return firstMark(s, n)
		}
	}
	return firstMark(s, line+1)
}

// openLevels closes the levels that the line ends and opens those that it begins.
func openLevels(levels []level, column int, mark string) ([]level, bool) {
	closed := false
	for len(levels) > 0 && levels[len(levels)-1].column > column {
		levels, closed = levels[:len(levels)-1], true
	}
	dash := mark == "-" || strings.HasPrefix(mark, "- ")
	// A list may begin at the column of its key; the next key there ends it.
	if last := len(levels) - 1; !dash && last > 0 && levels[last] == (level{column, true}) && levels[last-1] == (level{column, false}) {
		levels = levels[:last]
	}
	fits := true
	switch last := len(levels) - 1; {
	case last < 0 || levels[last].column < column:
		fits = !closed || last < 0
		levels = append(levels, level{column, dash})
	case dash && !levels[last].dash:
		levels = append(levels, level{column, true})
	case !dash && levels[last].dash:
		fits = false
	}
	if rest := strings.TrimPrefix(mark, "- "); dash && rest != mark && strings.Contains(rest, ": ") {
		inner := strings.TrimLeft(rest, " ")
		levels = append(levels, level{column + len(mark) - len(inner), false})
	}
	return levels, fits
}
