package text

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"bayhand/model/patch"
)

// KeepPatch is a session file with its patch replaced, or with one at its end
// if it has none. Every other byte stays, comments too; those inside the old
// patch go with it. A file whose keys do not stand on lines of their own, or
// that cannot be read, is an error and is not changed.
func KeepPatch(src []byte, p patch.Patch) ([]byte, error) {
	root, err := keptRoot(src)
	if err != nil {
		return nil, err
	}
	fresh, err := keptRoot(WritePatch(p))
	if err != nil {
		return nil, err
	}
	old := root.field("patch")
	if old != nil && old.same(fresh.field("patch")) {
		return slices.Clone(src), nil
	}
	k := &keeper{lines: splitLines(src), root: root}
	kept := k.replace(p)
	again, err := keptRoot(kept)
	if err != nil || !sameBeside(root, again) || !fresh.field("patch").same(again.field("patch")) {
		return nil, errors.New("the patch cannot be written into the session; put its keys on lines of their own, and use no anchors inside patch")
	}
	return kept, nil
}

func keptRoot(src []byte) (*node, error) {
	r, root := open("session", src)
	switch {
	case root == nil || r.problems.Errors():
		return nil, fmt.Errorf("the session cannot be read: %w", r.told())
	case root.shape != mapping:
		return nil, errors.New("the session cannot be read: it is no mapping of keys")
	case root.flow:
		return nil, errors.New("the session is written in braces; put each key on a line of its own")
	}
	return root, nil
}

// keeper works on the lines of a file, each with its line end.
type keeper struct {
	lines [][]byte
	root  *node
}

// splitLines cuts where YAML ends lines; the byte order mark stays on the first.
func splitLines(src []byte) [][]byte {
	var lines [][]byte
	for len(src) > 0 {
		end := bytes.IndexAny(src, "\r\n")
		switch {
		case end < 0:
			end = len(src)
		case src[end] == '\r' && end+1 < len(src) && src[end+1] == '\n':
			end += 2
		default:
			end++
		}
		lines = append(lines, src[:end])
		src = src[end:]
	}
	return lines
}

// lineEnd is the one that the file uses first.
func (k *keeper) lineEnd() string {
	for _, line := range k.lines {
		switch {
		case bytes.HasSuffix(line, []byte("\r\n")):
			return "\r\n"
		case bytes.HasSuffix(line, []byte("\n")):
			return "\n"
		case bytes.HasSuffix(line, []byte("\r")):
			return "\r"
		}
	}
	return "\n"
}

func (k *keeper) replace(p patch.Patch) []byte {
	from, to := k.region()
	var head string
	if from < to {
		head = string(k.lines[from])
	}
	end := k.lineEnd()
	var out bytes.Buffer
	if from == 0 && strings.HasPrefix(head, byteOrderMark) {
		out.WriteString(byteOrderMark)
		head = strings.TrimPrefix(head, byteOrderMark)
	}
	for _, line := range k.lines[:from] {
		out.Write(line)
	}
	if from > 0 && !endsLine(k.lines[from-1]) {
		out.WriteString(end)
	}
	for i, line := range strings.Split(strings.TrimSuffix(string(WritePatch(p)), "\n"), "\n") {
		if i == 0 {
			line += headComment(head)
		}
		out.WriteString(k.indent() + line + end)
	}
	for _, line := range k.lines[to:] {
		out.Write(line)
	}
	return out.Bytes()
}

func endsLine(line []byte) bool {
	return bytes.HasSuffix(line, []byte("\n")) || bytes.HasSuffix(line, []byte("\r"))
}

// indent is what stands before the keys of the file.
func (k *keeper) indent() string {
	return strings.Repeat(" ", max(0, k.root.entries[0].key.place.Column-1))
}

var headLine = regexp.MustCompile(`^\s*['"]?patch['"]?\s*:(?:\s*\{[^#\r\n]*\})?(\s+#[^\r\n]*)`)

// headComment is the comment behind the key itself.
func headComment(head string) string {
	if found := headLine.FindStringSubmatch(head); found != nil {
		return found[1]
	}
	return ""
}

// region is where the patch stands, or would stand, as lines counted from 0.
// Blank lines, comments and marks of the document after it are not part of it.
func (k *keeper) region() (from, to int) {
	to = len(k.lines)
	from = -1
	for _, e := range k.root.entries {
		switch line := e.key.place.Line - 1; {
		case e.key.text == "patch":
			from = line
		case from >= 0 && line > from:
			to = min(to, line)
		}
	}
	if from >= 0 {
		for to > from+1 && k.beside(to-1) {
			to--
		}
		return from, to
	}
	for to > 0 && k.marksEnd(to-1) {
		to--
	}
	return to, to
}

func (k *keeper) beside(i int) bool {
	text := strings.TrimSpace(string(k.lines[i]))
	return text == "" || strings.HasPrefix(text, "#") || k.marksEnd(i)
}

// marksEnd: a line of ... ends the document.
func (k *keeper) marksEnd(i int) bool {
	text := string(k.lines[i])
	return strings.HasPrefix(text, "...") && strings.TrimSpace(text) == "..."
}

// same says whether two parts hold the same, wherever they stand.
func (n *node) same(m *node) bool {
	if n == nil || m == nil {
		return n == m
	}
	if n.shape != m.shape || n.text != m.text || len(n.items) != len(m.items) || len(n.entries) != len(m.entries) {
		return false
	}
	for i := range n.items {
		if !n.items[i].same(m.items[i]) {
			return false
		}
	}
	for i := range n.entries {
		if n.entries[i].key.text != m.entries[i].key.text || !n.entries[i].value.same(m.entries[i].value) {
			return false
		}
	}
	return true
}

// sameBeside says whether two files hold the same beside their patches.
func sameBeside(n, m *node) bool {
	beside := func(n *node) *node {
		kept := *n
		kept.entries = slices.DeleteFunc(slices.Clone(n.entries), func(e entry) bool { return e.key.text == "patch" })
		return &kept
	}
	return beside(n).same(beside(m))
}
