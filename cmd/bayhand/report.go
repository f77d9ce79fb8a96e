package main

import (
	"fmt"
	"strings"

	"bayhand/model/text"
)

// excerpted is one problem as a compiler would print it: the place and the
// message, the line with a caret under it, and what to do.
func excerpted(at text.Place, severity, message, hint string, src []byte) string {
	var b strings.Builder
	b.WriteString(place(at))
	if severity != "" && severity != "error" {
		b.WriteString(severity + ": ")
	}
	b.WriteString(message + "\n")
	if src != nil && at.Line > 0 {
		for line := range strings.Lines(text.Excerpt(src, at)) {
			b.WriteString("    " + strings.TrimRight(line, "\n") + "\n")
		}
	}
	if hint != "" {
		b.WriteString("  " + hint + "\n")
	}
	return b.String()
}

func place(at text.Place) string {
	switch {
	case at.File == "":
		return ""
	case at.Line == 0:
		return at.File + ": "
	}
	return fmt.Sprintf("%s:%d:%d: ", at.File, at.Line, at.Column)
}
