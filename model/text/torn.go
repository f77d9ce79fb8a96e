package text

import (
	"strings"

	"bayhand/model/phrase"
)

// torn is the problem of text in brackets that holds a bracket, a brace or a
// question mark without quotes: YAML begins something else there.
func torn(s source, line int, found string) (Problem, bool) {
	if !strings.Contains(found, "did not find expected ',' or") {
		return Problem{}, false
	}
	for _, l := range []int{line, line + 1} {
		text := s.line(l)
		at := inside(text)
		if at == 0 {
			continue
		}
		from, to := around(text, at-1)
		return Problem{
			Code: "syntax", Severity: Error, Place: s.place(l, at),
			Message: phrase.Put("text inside brackets holds a {character}, which begins something else there", "character", string(text[at-1])),
			Hint:    phrase.Put("write {text} with the quotes", "text", quotedText(strings.TrimSpace(string(text[from:to])))),
		}, true
	}
	return Problem{}, false
}

// inside is the column of a [ { or ? that follows other text inside brackets;
// 0 if there is none.
func inside(text []rune) int {
	depth, before := 0, ','
	var quote rune
	for i, r := range text {
		switch {
		case quote != 0:
			if r == quote {
				quote = 0
			}
		case (r == '"' || r == '\'') && strings.ContainsRune(",[{:", before):
			quote = r
		case r == '#' && i > 0 && text[i-1] == ' ':
			return 0
		case depth > 0 && strings.ContainsRune("[{?", r) && !strings.ContainsRune(",[{:", before):
			return i + 1
		case r == '[' || r == '{':
			depth++
		case r == ']' || r == '}':
			depth--
		}
		if r != ' ' {
			before = r
		}
	}
	return 0
}

// around are the bounds of the text that the mark at a column is part of: from
// the bracket, comma or colon before it to the comma or bracket that ends it.
func around(text []rune, at int) (from, to int) {
	for from = at; from > 0 && !strings.ContainsRune("[{,", text[from-1]) && !(from > 1 && text[from-1] == ' ' && text[from-2] == ':'); {
		from--
	}
	depth := 0
	for to = at; to < len(text); to++ {
		switch r := text[to]; {
		case r == '[' || r == '{':
			depth++
		case (r == ']' || r == '}') && depth > 0:
			depth--
		case depth == 0 && strings.ContainsRune(",]}", r):
			return from, to
		}
	}
	return from, to
}
