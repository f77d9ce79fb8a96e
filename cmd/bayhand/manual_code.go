package main

import (
	"io/fs"
	"strings"
)

// findingsName is the page of what check looks for. Its sections are printed one by
// one, by their codes.
const findingsName = "findings"

// problemsName is the page whose sections of the third level are the problems of a
// room, by their codes.
const problemsName = "when-it-says"

// codes are what the manual has a section on by code: findings first, in the order
// of their page, then the problems of a room.
func codes() []string {
	return append(headings(findingsName, "## "), headings(problemsName, "### ")...)
}

func headings(page, mark string) []string {
	text, _ := fs.ReadFile(manualPages, "manual/"+page+".md")
	var all []string
	for line := range strings.Lines(string(text)) {
		if code, ok := strings.CutPrefix(line, mark); ok {
			all = append(all, strings.TrimSpace(code))
		}
	}
	return all
}

// codeText is what the manual says about a code, as a page of its own: a problem, a
// finding, or both. False where there is no such code.
func codeText(code string) (string, bool) {
	var parts []string
	for _, body := range []string{section(problemsName, "### "+code+"\n"), section(findingsName, "## "+code+"\n")} {
		if body != "" {
			parts = append(parts, body)
		}
	}
	if len(parts) == 0 {
		return "", false
	}
	return "# " + code + "\n\n" + strings.Join(parts, "\n\n") + "\n", true
}

// section is what stands under a heading, up to the next heading of any level.
func section(page, heading string) string {
	text, _ := fs.ReadFile(manualPages, "manual/"+page+".md")
	_, body, found := strings.Cut("\n"+string(text), "\n"+heading)
	if !found {
		return ""
	}
	body, _, _ = strings.Cut(body, "\n#")
	return strings.TrimSpace(body)
}
