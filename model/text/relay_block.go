package text

import (
	"fmt"
	"regexp"
	"strings"
)

// endOfItem is the line after the last one of a list's item that begins at a line: what
// follows is indented deeper than its dash, but for empty lines and comments at its end.
func endOfItem(lines []string, first int) int {
	dash := indentOf(lines[first])
	last := first + 1
	for i := first + 1; i < len(lines); i++ {
		text := strings.TrimSpace(lines[i])
		switch {
		case text == "" || strings.HasPrefix(text, "#"):
			continue
		case indentOf(lines[i]) <= dash:
			return last
		}
		last = i + 1
	}
	return last
}

func indentOf(line string) int { return len(line) - len(strings.TrimLeft(line, " ")) }

// blockField is a field of a line in its long form on a line of its own, with a comment
// behind it.
var blockField = regexp.MustCompile(`^(\s*(?:- +)?)(from|to|kind|length|cold|shield|plugs):\s+("[^"]*"|\[[^\]]*\]|[^#\[\]{}"&*|>]*?)(\s+#.*)?$`)

// relayBlock writes a line that stands on several lines of the file, a field on each:
// once for each part, with its ends and its number. Comments stay with the first part.
func relayBlock(lines []string, parts []RelaidPart) (string, bool) {
	var b strings.Builder
	for i, p := range parts {
		for n, line := range lines {
			bare := strings.TrimRight(line, "\r\n")
			if text := strings.TrimSpace(bare); text == "" || strings.HasPrefix(text, "#") {
				if i == 0 {
					b.WriteString(line)
				}
				continue
			}
			m := blockField.FindStringSubmatch(bare)
			if m == nil || (n == 0) != strings.Contains(m[1], "-") {
				return "", false
			}
			b.WriteString(m[1] + m[2] + ": " + valueIn(p, m[2], m[3]))
			if i == 0 {
				b.WriteString(m[4])
			}
			b.WriteString(endingOf(line))
		}
		if p.Number != "" {
			fmt.Fprintf(&b, "%scable: %q%s", indentAfterDash(lines[0]), p.Number, endingOf(lines[0]))
		}
	}
	return b.String(), true
}

// valueIn is what a field says in one part.
func valueIn(p RelaidPart, key, said string) string {
	switch key {
	case "from":
		return foldedEnds(p.From)
	case "to":
		return foldedEnds(p.To)
	}
	return said
}

func indentAfterDash(line string) string {
	at := strings.Index(line, "-") + 1
	return strings.Repeat(" ", at+indentOf(line[at:]))
}

// endingOf is how a line ends in the file; the last one may end with nothing.
func endingOf(line string) string {
	if strings.HasSuffix(line, "\r\n") {
		return "\r\n"
	}
	return "\n"
}
