package text

import (
	"bytes"
	"strings"
	"unicode"
)

// writer writes lines of YAML in block style.
type writer struct {
	bytes.Buffer
}

func (w *writer) line(indent int, text string) {
	w.WriteString(strings.Repeat("  ", indent))
	w.WriteString(text)
	w.WriteByte('\n')
}

// pair writes key: value, with quotes where the value needs them.
func (w *writer) pair(indent int, key, value string) {
	w.line(indent, scalarText(key)+": "+scalarText(value))
}

// fewItems is how many items stand in brackets on one line.
const fewItems = 8

// list writes items after a key: a few in brackets, more on a line each. An
// empty list is left out.
func (w *writer) list(indent int, key string, items []string) {
	if len(items) == 0 {
		return
	}
	quoted := make([]string, len(items))
	for i, item := range items {
		quoted[i] = scalarText(item)
	}
	if len(items) <= fewItems {
		w.line(indent, key+": ["+strings.Join(quoted, ", ")+"]")
		return
	}
	w.line(indent, key+":")
	for _, item := range quoted {
		w.line(indent+1, "- "+item)
	}
}

// scalarText is a text as a YAML scalar that reads back as the same text, in
// brackets as well as outside: plain where that is safe, else in quotes.
func scalarText(text string) string {
	if isPlain(text) {
		return text
	}
	return quotedText(text)
}

func isPlain(text string) bool {
	runes := []rune(text)
	if len(runes) == 0 {
		return false
	}
	sign := (runes[0] == '+' || runes[0] == '-') && len(runes) > 1 && unicode.IsDigit(runes[1])
	if !sign && !unicode.IsLetter(runes[0]) && !unicode.IsDigit(runes[0]) {
		return false
	}
	for i, r := range runes {
		if r == ' ' && i < len(runes)-1 || unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.Is(unicode.Mn, r) {
			continue
		}
		if r == '>' && i > 0 && (runes[i-1] == '-' || runes[i-1] == '=') {
			continue
		}
		if !strings.ContainsRune("+-/.=_%()'", r) {
			return false
		}
	}
	return true
}

// quotedText is a text in double quotes, on one line.
func quotedText(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case r == '\r':
			b.WriteString(`\r`)
		case illegal(r, 2) != "" || r == unicode.ReplacementChar:
			b.WriteString(escapeCode(r))
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

func escapeCode(r rune) string {
	const digits = "0123456789ABCDEF"
	code := make([]byte, 4)
	for i := range code {
		code[i] = digits[r>>(4*(3-i))&0xf]
	}
	return `\u` + string(code)
}
