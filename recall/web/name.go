package web

import (
	"fmt"
	"net/url"
	"strings"
)

// A header has no letters but those of ASCII. Others are written as RFC 8187 has it (3.2):
// the code, two apostrophes, and each byte that is no attr-char as %XX.
const extended = "UTF-8''"

// HeaderText is a text as the value of a header.
func HeaderText(text string) string {
	plain := func(r rune) bool { return r >= ' ' && r <= '~' }
	if !strings.HasPrefix(strings.ToUpper(text), extended) && !strings.ContainsFunc(text, func(r rune) bool { return !plain(r) }) {
		return text
	}
	var b strings.Builder
	b.WriteString(extended)
	for _, c := range []byte(text) {
		if attrChar(c) {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "%%%02X", c)
		}
	}
	return b.String()
}

func attrChar(c byte) bool {
	return c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || strings.IndexByte("!#$&+-.^_`|~", c) >= 0
}

// TextOf is the text that the value of a header stands for; a value that is written in another way
// stands for itself.
func TextOf(value string) string {
	if len(value) < len(extended) || !strings.EqualFold(value[:len(extended)], extended) {
		return value
	}
	text, err := url.PathUnescape(value[len(extended):])
	if err != nil {
		return value
	}
	return text
}
