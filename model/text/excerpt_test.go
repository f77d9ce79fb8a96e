package text_test

import (
	"strings"
	"testing"

	"bayhand/model/text"
)

func TestExcerpt(t *testing.T) {
	long := strings.Repeat("abcdefghij", 30)
	for _, test := range []struct {
		name, src    string
		line, column int
		want         string
	}{
		{"plain", "one\ntwo: three\n", 2, 6, "two: three\n     ^"},
		{"the first column", "one", 1, 1, "one\n^"},
		{"behind the end", "one", 1, 9, "one\n   ^"},
		{"a tab", "\ta: b", 1, 5, "\ta: b\n\t   ^"},
		{"other line ends", "a\r\nb: c\r\n", 2, 4, "b: c\n   ^"},
		{"old line ends", "a\rb: c\r", 2, 4, "b: c\n   ^"},
		// Two columns of the terminal each (Unicode Standard Annex 11).
		{"wide letters", "琴: x", 1, 4, "琴: x\n    ^"},
		{"letters with a mark of their own", "e\u0301: x", 1, 5, "e\u0301: x\n   ^"},
		{"wide letters of half width", "ｱ: x", 1, 4, "ｱ: x\n   ^"},
		{"full-width figures", "４８: x", 1, 5, "４８: x\n      ^"},
		{"letters put together", "\u1112\u1161\u11ab: x", 1, 6, "\u1112\u1161\u11ab: x\n    ^"},
		{"one picture of several", "👩‍🎤: x", 1, 6, "👩‍🎤: x\n    ^"},
		{"vowel marks", "กีตาร์: x", 1, 9, "กีตาร์: x\n      ^"},
		{"letters to the left, with points", "כִּנוֹר: x", 1, 10, "כִּנוֹר: x\n      ^"},
		{"a mark that turns the direction", "\u200fعود: x", 1, 7, "\u200fعود: x\n     ^"},
		{"letters of one column", "عود: x", 1, 6, "عود: x\n     ^"},
		{"a byte order mark", "\ufeffa: b", 1, 4, "a: b\n   ^"},
		{"the start of a long line", long, 1, 3, long[:119] + "…\n  ^"},
		{"the middle of a long line", long, 1, 151, "…" + long[91:209] + "…\n" + strings.Repeat(" ", 60) + "^"},
		{"the end of a long line", long, 1, 300, "…" + long[181:] + "\n" + strings.Repeat(" ", 119) + "^"},
		{"no such line", "one", 2, 1, ""},
		{"no place", "one", 0, 0, ""},
	} {
		if got := text.Excerpt([]byte(test.src), text.Place{Line: test.line, Column: test.column}); got != test.want {
			t.Errorf("%s:\n%s\nwant\n%s", test.name, got, test.want)
		}
	}
}

func TestProblemsAreSorted(t *testing.T) {
	_, _, problems := text.ReadStudio("x.yaml", []byte("zzz: 1\naaa: 2\n"))
	want := "x.yaml:1:1: a studio has no key \"zzz\""
	if len(problems) != 3 || !strings.Contains(problems.Error(), want) || problems[2].Line != 2 {
		t.Errorf("problems are\n%v", problems)
	}
}

// A terminal obeys control characters of a file that is shown: none of them comes through.
func TestExcerptHoldsNoCommand(t *testing.T) {
	src := []byte("studio: A\ngear:\n\tok: {outptus: 1} # \x1b[2J\x1b]0;title\x07\u009b31m\u202e\n")
	got := text.Excerpt(src, text.Place{File: "studio.yaml", Line: 3, Column: 7})
	if want := "\tok: {outptus: 1} # \ufffd[2J\ufffd]0;title\ufffd\ufffd31m\ufffd\n\t     ^"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
