package text

import (
	"slices"
	"strings"

	"bayhand/model/name"
)

// folds says whether lines of a key can be folded.
func folds(key string) bool {
	_, ok := foldOperators[key]
	return ok
}

// foldOperators are what stands between the sides of lines that fold.
var foldOperators = map[string]name.Operator{
	"wiring": name.Into, "normals": name.Into, "connect": name.Into, "keep": name.Into, "inside": name.Into, "ties": name.Tied,
}

// folded joins neighbouring lines of a list whose both sides run on.
func (t tidier) folded(key string, n *node, from, to int) []string {
	if n == nil || n.shape != list || n.flow {
		return t.lines[from:to]
	}
	all := []string{}
	at := from
	for i := 0; i < len(n.items); {
		run, ok := t.lineAt(key, n.items[i], from, to)
		if !ok {
			i++
			continue
		}
		end := i + 1
		for end < len(n.items) {
			next, ok := t.lineAt(key, n.items[end], from, to)
			if !ok || !run.takes(next) {
				break
			}
			end++
		}
		if end > i+1 {
			all = append(all, t.lines[at:run.line]...)
			all = append(all, run.text())
			at = run.last + 1
		}
		i = end
	}
	return append(all, t.lines[at:to]...)
}

// runLine is a line of two sides, or several that follow each other.
type runLine struct {
	line, last  int
	before, end string
	operator    name.Operator
	left, right []name.Point
}

// lineAt reads an item that stands alone on its line, without a comment.
func (t tidier) lineAt(key string, n *node, from, to int) (runLine, bool) {
	line := n.place.Line - 1
	if !n.plain() || n.inner == 0 || line < from || line >= to {
		return runLine{}, false
	}
	before, rest, found := strings.Cut(t.lines[line], n.text)
	end := strings.TrimLeft(rest, " ")
	if !found || strings.TrimLeft(before, " ") != "- " || strings.Trim(end, "\r\n") != "" {
		return runLine{}, false
	}
	p, err := name.ParsePair(n.text, foldOperators[key])
	if err != nil || len(p.Left.Points) != len(p.Right.Points) || !runsOn(p.Left.Points) || !runsOn(p.Right.Points) {
		return runLine{}, false
	}
	return runLine{line, line, before, end, p.Operator, p.Left.Points, p.Right.Points}, true
}

// runsOn says whether points are numbered one after the other.
func runsOn(points []name.Point) bool {
	for i, p := range points {
		want := points[0]
		want.Number += i
		if p != want || p.Number < 1 {
			return false
		}
	}
	return true
}

// takes adds the line below where it goes on with both sides.
func (l *runLine) takes(next runLine) bool {
	left, right := slices.Concat(l.left, next.left), slices.Concat(l.right, next.right)
	if next.line != l.last+1 || next.before != l.before || !runsOn(left) || !runsOn(right) {
		return false
	}
	l.left, l.right, l.last, l.end = left, right, next.last, next.end
	return true
}

func (l *runLine) text() string {
	return l.before + oneText(l.left) + " " + string(l.operator) + " " + oneText(l.right) + l.end
}

// meaning is what a file says, however it is ordered and folded.
func meaning(n *node, table Table) string {
	var b strings.Builder
	writeMeaning(&b, n, Field{Kind: Record, Of: &table})
	return b.String()
}

func writeMeaning(b *strings.Builder, n *node, f Field) {
	switch n.shape {
	case mapping:
		entries := slices.Clone(n.entries)
		if f.Kind == Record {
			slices.SortStableFunc(entries, func(x, y entry) int { return strings.Compare(x.key.text, y.key.text) })
		}
		b.WriteString("{")
		for _, e := range entries {
			b.WriteString(quotedText(e.key.text) + ":")
			writeMeaning(b, e.value, fieldAt(f, e.key.text))
		}
		b.WriteString("}")
	case list:
		b.WriteString("[")
		for _, item := range n.items {
			writeItem(b, item, f.Key)
		}
		b.WriteString("]")
	case scalar:
		b.WriteString(quotedText(n.text) + ",")
	case noShape:
	}
}

// fieldAt is the field at a key of another.
func fieldAt(f Field, key string) Field {
	switch {
	case f.Kind == Record && f.Of != nil:
		of, _ := f.Of.Field(key)
		return of
	case f.Kind == Records:
		return Field{Kind: Record, Of: f.Of}
	}
	return Field{}
}

// writeItem writes a line that folds as its pairs.
func writeItem(b *strings.Builder, n *node, key string) {
	if operator, ok := foldOperators[key]; ok && n.shape == scalar {
		if p, err := name.ParsePair(n.text, operator); err == nil && len(p.Left.Points) == len(p.Right.Points) {
			for i := range p.Left.Points {
				b.WriteString(quotedText(p.Left.Points[i].String()+string(operator)+p.Right.Points[i].String()) + ",")
			}
			return
		}
	}
	writeMeaning(b, n, Field{})
}
