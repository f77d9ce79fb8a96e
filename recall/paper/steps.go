package paper

import (
	"fmt"
	"strings"

	"bayhand/recall/words"
)

// columnsOf are the columns of the steps: id, verb, what to do, and length.
type columnsOf struct {
	id, verb, what, length int
}

// narrow is a terminal in which the columns no longer stand side by side.
const narrow = 56

func (t text) steps(lines []words.Line) {
	if len(lines) == 0 {
		return
	}
	c := t.measure(lines)
	for _, l := range lines {
		t.gap()
		if t.width < narrow || columns(l.ID) > c.id || columns(l.Verb) > c.verb {
			t.stacked(l)
			continue
		}
		t.side(l, c)
	}
}

// measure finds how wide each column must be, and takes what is too much from
// what to do, which is wrapped.
func (t text) measure(lines []words.Line) columnsOf {
	var c columnsOf
	for _, l := range lines {
		c.id = max(c.id, columns(l.ID))
		c.verb = max(c.verb, columns(l.Verb))
		c.length = max(c.length, columns(l.Length))
		c.what = max(c.what, columns(l.What()))
	}
	c.id = min(c.id, 8)
	c.verb = min(c.verb, 14)
	c.length = min(c.length, 12)
	c.what = min(c.what, t.width-c.indent()-c.length-2)
	return c
}

func (c columnsOf) indent() int { return 2 + c.id + 2 + c.verb + 2 }

// places wraps what to do so that a second place begins a line of its own where
// both do not fit on one.
func places(l words.Line, width int) []string {
	a := l.Action
	if l.By != "" || a.Joint == words.Alone || columns(l.What()) <= width {
		return wrapColumns(l.What(), width)
	}
	if a.Joint == words.Then {
		return append(wrapColumns(words.Put("{jack}, then", "jack", a.From), width), wrapColumns(a.To, width)...)
	}
	return append(wrapColumns(a.From, width), wrapColumns("-> "+a.To, width)...)
}

func (t text) side(l words.Line, c columnsOf) {
	first := fmt.Sprintf("  %s%s  %s  ", strings.Repeat(" ", max(0, c.id-columns(l.ID))), l.ID, pad(l.Verb, c.verb))
	for i, part := range places(l, c.what) {
		if i > 0 {
			first = strings.Repeat(" ", c.indent())
		}
		row := first + part
		if i == 0 && l.Length != "" {
			row = first + pad(part, c.what) + "  " + strings.Repeat(" ", max(0, c.length-columns(l.Length))) + l.Length
		}
		fmt.Fprintln(t.to, strings.TrimRight(row, " "))
	}
	for _, d := range details(l) {
		t.line(c.indent(), d)
	}
}

// stacked sets a step for a narrow terminal: everything beneath its number.
func (t text) stacked(l words.Line) {
	t.line(0, strings.TrimRight(l.ID+"  "+l.Verb+"  "+l.Length, " "))
	for _, part := range places(l, t.width-2) {
		t.line(2, part)
	}
	for _, d := range details(l) {
		t.line(2, d)
	}
}

// details are the smaller lines of a step, in the order in which a person asks:
// how, what for, after what and why.
func details(l words.Line) []string {
	var all []string
	add := func(s string) {
		if s != "" {
			all = append(all, s)
		}
	}
	add(strings.Join(l.Switching, ", "))
	add(l.Action.Also)
	add(l.Purpose)
	add(reason(l))
	return all
}

// reason is after which steps, and why.
func reason(l words.Line) string {
	if len(l.After) == 0 {
		return l.Why
	}
	after := words.Put("after {steps}", "steps", strings.Join(l.After, ", "))
	if l.Why == "" {
		return after
	}
	return after + "; " + l.Why
}
