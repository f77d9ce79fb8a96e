package text

import (
	"fmt"
	"strings"

	"bayhand/model/phrase"
)

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

// deeper is the problem of a key that stands deeper than the key above it, whose
// value it cannot be, since that one has a value.
func deeper(s source, line int, found string) (Problem, bool) {
	if !strings.Contains(found, "mapping values are not allowed") {
		return Problem{}, false
	}
	above := before(s, line)
	column, _ := begin(s, line)
	over, key := begin(s, above)
	for strings.HasPrefix(key, "- ") {
		rest := strings.TrimLeft(key[1:], " ")
		over, key = over+len(key)-len(rest), rest
	}
	if above == 0 || column <= over || !strings.Contains(key, ": ") {
		return Problem{}, false
	}
	return Problem{
		Code: "syntax", Severity: Error, Place: s.place(line, column+1),
		Message: fmt.Sprintf("this line stands deeper than line %d, which has a value already", above),
		Hint:    "keys of one mapping begin at one column; move one of the two lines",
	}, true
}

// undashed is the problem of a line that stands among the items of a list and
// has no dash.
func undashed(s source, line int, found string) (Problem, bool) {
	_, text := begin(s, line)
	_, above := begin(s, before(s, line))
	if !strings.Contains(found, "could not find expected ':'") || !arrowed(text) || strings.HasPrefix(text, "- ") || !strings.HasPrefix(above, "- ") {
		return Problem{}, false
	}
	return Problem{
		Code: "syntax", Severity: Error, Place: firstMark(s, line),
		Message: "this line of a list has no dash", Hint: phrase.Put("write - {text}", "text", text),
	}, true
}

// arrowed says whether a text joins points, as lines of lists do.
func arrowed(text string) bool {
	return strings.Contains(text, " -> ") || strings.Contains(text, " = ") || strings.Contains(text, " - ")
}

// before is the line before with something in it that is no comment; 0 if there
// is none.
func before(s source, line int) int {
	for n := line - 1; n > 0; n-- {
		if _, text := begin(s, n); text != "" && text[0] != '#' {
			return n
		}
	}
	return 0
}

// begin is how many spaces a line begins with, and what follows them.
func begin(s source, line int) (column int, text string) {
	all := strings.TrimRight(string(s.line(line)), " \r")
	text = strings.TrimLeft(all, " ")
	return len(all) - len(text), text
}
