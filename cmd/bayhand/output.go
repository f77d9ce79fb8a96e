package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"sync/atomic"
	"unicode"

	"github.com/rivo/uniseg"
	"golang.org/x/term"

	"bayhand/model/text"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

// output is where answers and problems go, and in which form.
type output struct {
	to, err io.Writer
	json    bool
	// panel gives a text the names of jacks as the panel has them; empty while no
	// studio was read. Lines of files are shown as they stand there. A daemon reads
	// the studio again while others of its parts speak.
	panel atomic.Pointer[func(string) string]
}

// named is a text with the names that stand on the panel, and without what a terminal would
// obey: files and devices say much of it.
func (o *output) named(said string) string {
	said = strings.Map(func(c rune) rune {
		if c != '\n' && text.Obeyed(c) {
			return unicode.ReplacementChar
		}
		return c
	}, said)
	if panel := o.panel.Load(); panel != nil {
		return (*panel)(said)
	}
	return said
}

// answer prints a value as JSON on standard output.
func (o *output) answer(v any) error {
	encoder := json.NewEncoder(o.to)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(v)
}

// say prints an answer of one line, or what it is about as JSON.
func (o *output) say(v any, format string, args ...any) error {
	if o.json {
		return o.answer(v)
	}
	o.printf(format+"\n", args...)
	return nil
}

// printf prints a part of the answer.
func (o *output) printf(format string, args ...any) {
	fit(o.to, o.named(fmt.Sprintf(format, args...)))
}

// complainf prints a problem.
func (o *output) complainf(format string, args ...any) {
	o.warn(o.named(fmt.Sprintf(format, args...)))
}

// warn prints what is wrong.
func (o *output) warn(text string) { fit(o.err, text) }

// fit prints lines. A terminal is given none that it would break in the middle of a name; a
// file or another program has each as it is.
func fit(to io.Writer, text string) {
	columns, is := terminalOf(to)
	for line := range strings.Lines(text) {
		if !is || uniseg.StringWidth(line) <= columns || !strings.HasSuffix(line, "\n") {
			fmt.Fprint(to, line)
			continue
		}
		said := strings.TrimLeft(line, " ")
		indent := line[:len(line)-len(said)]
		for _, part := range filled(columns, indent, indent+"  ", words.Parts(said)) {
			fmt.Fprintln(to, part)
		}
	}
}

// lines prints a sentence in lines of at most 80 columns, fewer in a narrower terminal.
func (o *output) lines(first, rest, sentence string) {
	o.fill(o.to, first, rest, words.Parts(o.named(sentence)))
}

// complain prints a sentence of a problem in such lines.
func (o *output) complain(first, rest, sentence string) {
	o.fill(o.err, first, rest, words.Parts(o.named(sentence)))
}

// fill prints parts in such lines.
func (o *output) fill(to io.Writer, first, rest string, parts []string) {
	for _, line := range filled(min(paper.Width, columnsOf(to)), first, rest, parts) {
		fmt.Fprintln(to, line)
	}
}

// report prints problems with their lines on standard error.
func (o *output) report(problems text.Problems, sources map[string][]byte) {
	for _, p := range problems {
		fmt.Fprint(o.err, excerpted(p.Place, p.Severity, o.named(p.Message), o.named(p.Hint), sources[p.File]))
	}
}

// width is that of the terminal, or 80 columns.
func (o *output) width() int { return columnsOf(o.to) }

// columnsOf is how wide a terminal is, and 80 columns for what is none.
func columnsOf(to io.Writer) int {
	if columns, is := terminalOf(to); is {
		return columns
	}
	return paper.Width
}

// terminalOf is how wide a terminal is, and no narrower than sheets are set; 80 columns
// where it does not tell, and false for what is no terminal.
func terminalOf(to io.Writer) (int, bool) {
	file, ok := fileOf(to)
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return 0, false
	}
	columns, _, err := term.GetSize(int(file.Fd()))
	if err != nil || columns == 0 {
		return paper.Width, true
	}
	return max(columns, paper.Narrowest), true
}
