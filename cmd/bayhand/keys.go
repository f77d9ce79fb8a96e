package main

import (
	"fmt"
	"strings"

	"bayhand/model/text"
)

// keysPage is the page of the manual that lists every key. It comes from the
// tables by which the files are read, so that it cannot be out of date.
func keysPage() string {
	var b strings.Builder
	b.WriteString("# Keys: everything that may stand in the files\n\n")
	b.WriteString("For whoever writes the files. Afterwards you know each key, and how its value is\nwritten.\n\nA key that is marked with * must be there.\n")
	for _, file := range []struct {
		title string
		table text.Table
	}{
		{"studio.yaml", text.StudioFields()},
		{"sessions/NAME.yaml", text.SessionFields()},
		{"a patch file", text.PatchFields()},
		{"a device description", text.DeviceFields()},
		{"house.yaml", text.HouseFields()},
	} {
		fmt.Fprintf(&b, "\n## %s\n", file.title)
		writeTables(&b, file.table)
	}
	return b.String()
}

// writeTables writes a table and those of its fields, each once.
func writeTables(b *strings.Builder, first text.Table) {
	seen := map[string]bool{first.Name: true}
	for queue := []text.Table{first}; len(queue) > 0; queue = queue[1:] {
		table := queue[0]
		fmt.Fprintf(b, "\nKeys of %s:\n\n", table.Name)
		for _, f := range table.Fields {
			writeKey(b, f)
			if f.Of != nil && !seen[f.Of.Name] {
				seen[f.Of.Name] = true
				queue = append(queue, *f.Of)
			}
		}
	}
}

func writeKey(b *strings.Builder, f text.Field) {
	key := f.Key
	if f.Required {
		key += "*"
	}
	form := f.Form
	if len(f.Words) > 0 {
		form = strings.Join(f.Words, " | ")
	}
	if form == "" {
		form = "a mapping by name"
	}
	indent := strings.Repeat(" ", 19)
	for _, line := range wrapped(fmt.Sprintf("    %-15s", key+":"), indent+"  ", form) {
		b.WriteString(line + "\n")
	}
	for _, line := range wrapped(indent+"  ", indent+"  ", f.Help) {
		b.WriteString(line + "\n")
	}
}
