package text

import (
	"fmt"
	"regexp"
	"strings"

	"bayhand/model/name"
)

// Relaid is a line of wiring or ties whose cables get numbers, divided where its cables
// are.
type Relaid struct {
	// Key is the line's place, such as wiring[3].
	Key   string
	Parts []RelaidPart
}

// RelaidPart is a part of a line that is one cable.
type RelaidPart struct {
	From, To []name.Point
	Number   string
}

// An item of a list that stands on one line: its indent and dash, what it says, and a
// comment behind it.
var itemLine = regexp.MustCompile(`^(\s*-\s+)(.*?)(\s+#.*)?$`)

// NumberCables writes the numbers of cables into a studio's file and leaves all else
// as it is, comments too. A line that has more than ends and what a cable is, or that is
// written in a way that is not known here, is not touched; skipped says which.
func NumberCables(src []byte, places Places, relaid []Relaid) (out []byte, skipped []string) {
	lines := strings.SplitAfter(string(src), "\n")
	for _, r := range relaid {
		at, ok := places.at[r.Key]
		if !ok || at.Line < 1 || at.Line > len(lines) {
			skipped = append(skipped, r.Key)
			continue
		}
		first := at.Line - 1
		last := endOfItem(lines, first)
		written, ok := relay(lines[first], r.Parts)
		if last > first+1 {
			written, ok = relayBlock(lines[first:last], r.Parts)
		}
		if !ok {
			skipped = append(skipped, r.Key)
			continue
		}
		lines[first] = written
		for i := first + 1; i < last; i++ {
			lines[i] = ""
		}
	}
	return []byte(strings.Join(lines, "")), skipped
}

func relay(line string, parts []RelaidPart) (string, bool) {
	bare := strings.TrimRight(line, "\r\n")
	ending := line[len(bare):]
	m := itemLine.FindStringSubmatch(bare)
	if m == nil {
		return "", false
	}
	more := ""
	switch said := m[2]; {
	case strings.HasPrefix(said, "{") && strings.HasSuffix(said, "}"):
		var ok bool
		if more, ok = beyondEnds(said); !ok {
			return "", false
		}
	case strings.ContainsAny(said, `{}[]"'&*|>`) && !strings.Contains(said, "->"), strings.ContainsAny(said, `{}[]"'&*|`):
		return "", false
	}
	if ending == "" {
		ending = "\n"
	}
	var b strings.Builder
	for i, p := range parts {
		number := ""
		if p.Number != "" {
			number = fmt.Sprintf(", cable: %q", p.Number)
		}
		text := fmt.Sprintf("%s{from: %s, to: %s%s%s}", m[1], foldedEnds(p.From), foldedEnds(p.To), number, more)
		if i == 0 {
			text += m[3]
		}
		b.WriteString(text + ending)
	}
	return b.String(), true
}

// foldedEnds writes points as one text; quoted where YAML would take a comma for its own.
func foldedEnds(points []name.Point) string {
	text := strings.Join(name.Fold(points), ",")
	if strings.Contains(text, ",") {
		return fmt.Sprintf("%q", text)
	}
	return text
}

// fieldsInFlow are what a line in its long form says beside its ends.
var fieldsInFlow = regexp.MustCompile(`^\s*(from|to|kind|length|cold|shield|plugs):\s*("[^"]*"|\[[^\]]*\]|[^,\[\]{}"]+)\s*(,|$)`)

func beyondEnds(flow string) (more string, ok bool) {
	rest := strings.TrimSuffix(strings.TrimPrefix(flow, "{"), "}")
	for strings.TrimSpace(rest) != "" {
		m := fieldsInFlow.FindStringSubmatch(rest)
		if m == nil {
			return "", false
		}
		if m[1] != "from" && m[1] != "to" {
			more += ", " + m[1] + ": " + strings.TrimSpace(m[2])
		}
		rest = rest[len(m[0]):]
	}
	return more, true
}
