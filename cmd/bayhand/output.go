package main

import (
	"encoding/json"
	"fmt"
	"io"
	"sync/atomic"

	"golang.org/x/term"

	"bayhand/model/text"
	"bayhand/recall/paper"
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

// named is a text with the names that stand on the panel.
func (o *output) named(text string) string {
	if panel := o.panel.Load(); panel != nil {
		return (*panel)(text)
	}
	return text
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
	fmt.Fprint(o.to, o.named(fmt.Sprintf(format, args...)))
}

// complainf prints a problem.
func (o *output) complainf(format string, args ...any) {
	fmt.Fprint(o.err, o.named(fmt.Sprintf(format, args...)))
}

// lines prints a sentence in lines of at most 80 columns.
func (o *output) lines(first, rest, sentence string) {
	for _, line := range wrapped(first, rest, o.named(sentence)) {
		fmt.Fprintln(o.to, line)
	}
}

// report prints problems with their lines on standard error.
func (o *output) report(problems text.Problems, sources map[string][]byte) {
	for _, p := range problems {
		fmt.Fprint(o.err, excerpted(p.Place, p.Severity, o.named(p.Message), o.named(p.Hint), sources[p.File]))
	}
}

// width is that of the terminal, or 80 columns.
func (o *output) width() int {
	file, ok := fileOf(o.to)
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return paper.Width
	}
	columns, _, err := term.GetSize(int(file.Fd()))
	if err != nil || columns < paper.Narrowest {
		return paper.Width
	}
	return columns
}
