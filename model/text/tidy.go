package text

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"bayhand/model/phrase"
)

// Tidy is a file with its keys in the order of the tables of fields, and with
// neighbouring lines of wiring, ties, normals, connect, keep and inside folded
// into ranges where both sides run on. It moves and joins lines of the text as
// they stand, so that no comment and no blank line is lost and what is read from
// the file stays the same; a tidy file stays as it is. Names of gear, bays and
// the like keep their order. A file that cannot be read, or whose root is no
// studio, session, patch, device or house, is an error; mappings in braces, and those
// with keys that are unknown, are left alone.
func Tidy(file string, src []byte) ([]byte, error) {
	r, root := open(file, src)
	switch {
	case root == nil || r.problems.Errors():
		return nil, r.told()
	case root.shape != mapping:
		return nil, fmt.Errorf("%s is no mapping of keys", file)
	}
	table, ok := tableOf(root)
	if !ok {
		return nil, fmt.Errorf("%s is no studio, session, patch, device or house; it has none of these keys", file)
	}
	for _, t := range []tidier{{sort: true}, {}} {
		tidied := t.file(src, root, table)
		if again, after := open(file, tidied); after != nil && !again.problems.Errors() && meaning(root, table) == meaning(after, table) {
			return tidied, nil
		}
	}
	return nil, errors.New(phrase.Put("{file} cannot be tidied without a change of what it says; put its keys and lines on lines of their own", "file", file))
}

// tableOf finds the kind of file by its root key.
func tableOf(root *node) (Table, bool) {
	for key, table := range map[string]Table{"studio": studioFields, "session": sessionFields, "device": descriptionFields, "patch": patchFields, "house": houseFields} {
		if root.field(key) != nil && (key != "patch" || root.field("session") == nil) {
			return table, true
		}
	}
	return Table{}, false
}

// tidier works on the lines of one file, each with its line end.
type tidier struct {
	// sort is true where keys may move.
	sort  bool
	lines []string
}

func (t tidier) file(src []byte, root *node, table Table) []byte {
	mark := ""
	if bytes.HasPrefix(src, []byte(byteOrderMark)) {
		mark, src = byteOrderMark, src[len(byteOrderMark):]
	}
	for _, line := range splitLines(src) {
		t.lines = append(t.lines, string(line))
	}
	return []byte(mark + strings.Join(t.mapping(root, &table, 0, len(t.lines)), ""))
}

// region is the lines of one entry, counted from 0: its comments and blank lines
// from lead, its key at key, up to end.
type region struct {
	entry          entry
	lead, key, end int
}

// mapping arranges the lines of a mapping, which stand between from and to.
func (t tidier) mapping(n *node, table *Table, from, to int) []string {
	regions, ok := t.regions(n, from, to)
	if !ok {
		return t.lines[from:to]
	}
	before, after := t.lines[from:regions[0].lead], t.lines[regions[len(regions)-1].end:to]
	parts := make([]part, len(regions))
	for i, r := range regions {
		parts[i] = part{key: r.entry.key.text, lead: t.lines[r.lead:r.key], body: t.body(r, table)}
	}
	if t.sort && table != nil {
		parts = inOrder(parts, *table)
	}
	all := slices.Clone(before)
	for _, p := range parts {
		all = append(append(all, p.lead...), p.body...)
	}
	return append(all, after...)
}

// regions finds the lines of each entry; false where keys do not stand alone on
// lines in order.
func (t tidier) regions(n *node, from, to int) ([]region, bool) {
	if n == nil || n.shape != mapping || n.flow || len(n.entries) == 0 {
		return nil, false
	}
	var regions []region
	indent := n.entries[0].key.place.Column - 1
	for _, e := range n.entries {
		line := e.key.place.Line - 1
		if line < from || line >= to || e.key.place.Column-1 != indent || strings.TrimLeft(t.lines[line][:min(indent, len(t.lines[line]))], " ") != "" {
			return nil, false
		}
		r := region{entry: e, lead: line, key: line}
		for r.lead > from && t.beside(r.lead-1, indent) {
			r.lead--
		}
		if last := len(regions) - 1; last >= 0 {
			if regions[last].key >= line {
				return nil, false
			}
			r.lead = max(r.lead, regions[last].key+1)
			regions[last].end = r.lead
		}
		regions = append(regions, r)
		from = line
	}
	end := to
	for end > from+1 && (t.beside(end-1, indent) || strings.HasPrefix(t.lines[end-1], "...")) {
		end--
	}
	regions[len(regions)-1].end = end
	regions[0].lead = t.belowHeader(regions[0])
	return regions, true
}

// beside says whether a line is blank, or a comment that does not stand deeper
// than the keys.
func (t tidier) beside(line, indent int) bool {
	text := strings.TrimLeft(t.lines[line], " ")
	blank := strings.TrimSpace(text) == ""
	return blank || text[0] == '#' && len(t.lines[line])-len(text) <= indent
}

// belowHeader leaves comments that end in a blank line above the first key: they
// are about the whole.
func (t tidier) belowHeader(r region) int {
	for at := r.key; at > r.lead; at-- {
		if strings.TrimSpace(t.lines[at-1]) == "" {
			return at
		}
	}
	return r.lead
}

// part is an entry as lines.
type part struct {
	key        string
	lead, body []string
}

// body arranges what stands inside an entry.
func (t tidier) body(r region, table *Table) []string {
	head, value := t.lines[r.key:r.key+1], r.entry.value
	rest := t.lines[r.key+1 : r.end]
	if table != nil {
		f, _ := table.Field(r.entry.key.text)
		switch {
		case f.Kind == Record:
			rest = t.mapping(value, f.Of, r.key+1, r.end)
		case f.Kind == Records:
			rest = t.named(value, f.Of, r.key+1, r.end)
		case folds(f.Key):
			rest = t.folded(f.Key, value, r.key+1, r.end)
		}
	}
	return slices.Concat(head, rest)
}

// named arranges the mappings inside a mapping of names, which keep their order.
func (t tidier) named(n *node, of *Table, from, to int) []string {
	regions, ok := t.regions(n, from, to)
	if !ok {
		return t.lines[from:to]
	}
	all := slices.Clone(t.lines[from:regions[0].lead])
	for _, r := range regions {
		all = append(all, t.lines[r.lead:r.key+1]...)
		all = append(all, t.mapping(r.entry.value, of, r.key+1, r.end)...)
	}
	return append(all, t.lines[regions[len(regions)-1].end:to]...)
}

// inOrder sorts parts by the order of a table. What was first has no blank lines
// above it; it takes over those of the one that comes first now.
func inOrder(parts []part, table Table) []part {
	place := map[string]int{}
	for i, key := range table.Keys() {
		place[key] = i
	}
	if slices.ContainsFunc(parts, func(p part) bool { _, known := place[p.key]; return !known }) {
		return parts
	}
	first := parts[0].key
	sorted := slices.Clone(parts)
	slices.SortStableFunc(sorted, func(a, b part) int { return place[a.key] - place[b.key] })
	end := lineEnd(parts[0].body[0])
	if sorted[0].key == first {
		return ended(sorted, end)
	}
	lead, blank := sorted[0].lead, 0
	for blank < len(lead) && strings.TrimSpace(lead[blank]) == "" {
		blank++
	}
	sorted[0].lead = lead[blank:]
	at := slices.IndexFunc(sorted, func(p part) bool { return p.key == first })
	sorted[at].lead = slices.Concat(lead[:blank], sorted[at].lead)
	return ended(sorted, end)
}

// ended gives a line end to a last line of the file that is last no more.
func ended(parts []part, end string) []part {
	for i := range parts {
		body := parts[i].body
		if last := len(body) - 1; i < len(parts)-1 && !endsLine([]byte(body[last])) {
			parts[i].body = append(slices.Clone(body[:last]), body[last]+end)
		}
	}
	return parts
}

// lineEnd is how a line ends.
func lineEnd(line string) string {
	if end := line[len(strings.TrimRight(line, "\r\n")):]; end != "" {
		return end
	}
	return "\n"
}
