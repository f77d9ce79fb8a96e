package check

import (
	"fmt"
	"io"
	"strings"
)

// WritePage writes the page of the manual that lists all rules, in Markdown: a
// table of codes first, then each rule with what has a finding and what has none.
// An error is the writer's.
func WritePage(w io.Writer) error {
	var page strings.Builder
	page.WriteString(pageHead)
	rules := Rules()
	width := 0
	for _, r := range rules {
		width = max(width, len(r.Code))
	}
	for _, r := range rules {
		fmt.Fprintf(&page, "    %-*s  %-7s  %s\n", width, r.Code, r.Severity, r.Title)
	}
	for _, r := range rules {
		fmt.Fprintf(&page, "\n## %s\n\n%s: %s.\n\n%s\n", r.Code, r.Severity, r.Title, r.Manual)
		page.WriteString("\nThis has the finding:\n" + shown(r.Bad) + "\nThis has none:\n" + shown(r.Good))
	}
	_, err := io.WriteString(w, page.String())
	return err
}

const pageHead = `# Findings: what check looks for

For anybody who reads what ` + "`bayhand check`" + ` prints. Afterwards you know what a finding means, and
what to do about it.

` + "`bayhand check`" + ` says what an experienced hand would say before you plug. An error can damage
something, or cannot work. A warning works and will bite. Advice is worth doing some day.
Each finding has a code, a place in the file and something to do. A good studio has none.

These are cautions of the trade. They replace neither the manuals of your gear nor
the codes of the place; what concerns mains, earth and loudspeaker lines of high
power belongs to people who are licensed for it.

`

// shown is an example as the files that it stands for.
func shown(e Example) string {
	var text strings.Builder
	for _, file := range []string{e.Studio, e.Session, e.Other} {
		if file == "" {
			continue
		}
		text.WriteString("\n")
		for _, line := range strings.Split(strings.TrimSuffix(file, "\n"), "\n") {
			text.WriteString("    " + line + "\n")
		}
	}
	return text.String()
}
