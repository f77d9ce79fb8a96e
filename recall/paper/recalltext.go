package paper

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"bayhand/recall/words"
)

// RecallText writes the sheet for a terminal; see Text for the width.
func RecallText(w io.Writer, r Recall, width int) error {
	if width == 0 {
		width = Width
	}
	t := text{to: bufio.NewWriter(w), width: max(width, Narrowest)}
	t.line(0, r.Session)
	t.line(0, r.Studio)
	t.line(0, r.known())
	if len(r.Steps) > 0 {
		t.list("Before you plug", words.Cautions)
	}
	t.list("Notes", nonEmpty(r.Notes))
	t.list("Problems", r.Problems)
	t.list("Not possible", r.Missing)
	if len(r.Steps) > 0 {
		t.gap()
	}
	for _, s := range r.Steps {
		t.line(2, s.sentence())
		t.line(6, s.detail())
	}
	t.recallRest(r)
	return t.to.Flush()
}

func (t text) recallRest(r Recall) {
	var stays []string
	for _, c := range r.Stays {
		stays = append(stays, c.sentence())
	}
	t.list("In already, and stays", stays)
	for _, m := range r.Matrices {
		t.list(m.Name, m.lines())
	}
	for _, g := range r.Settings {
		var items []string
		for _, i := range g.Items {
			items = append(items, i.Name+": "+i.Value)
		}
		t.list(g.Label, items)
	}
	for _, l := range r.Lists {
		t.list(l.Title, l.Lines)
	}
	t.list("Made from", nonEmpty(r.Origin))
}

func nonEmpty(s string) []string {
	if s == "" {
		return nil
	}
	return []string{s}
}

// known says of which patch the sheet is, and from where it leads.
func (r Recall) known() string {
	if r.Since != "" {
		return words.Put("What differs from {session}. {known}", "session", r.Since, "known", r.Known)
	}
	return r.Known
}

// sentence is a step in one line.
func (s RecallStep) sentence() string {
	text := s.Number + "  " + s.Verb
	if s.Cord != nil {
		text += " " + s.Cord.Mark
	}
	text += "  " + s.What
	if s.Cord != nil && s.Cord.Length != "" {
		text += "  " + s.Cord.Length
	}
	return text
}

// detail is what stands smaller beneath: which line it is, and what goes over it.
func (s RecallStep) detail() string {
	parts := nonEmpty(s.Also)
	if s.Cord != nil {
		parts = append(parts, s.Cord.details()...)
	}
	return strings.Join(parts, "; ")
}

func (c RecallCord) details() []string {
	parts := append(nonEmpty(c.Lines), nonEmpty(c.Carries)...)
	if c.Room != "" {
		parts = append(parts, words.Put("room: {room}", "room", c.Room))
	}
	if c.Known != "" {
		parts = append(parts, words.Put("known: {how}", "how", c.Known))
	}
	return parts
}

func (c RecallCord) sentence() string {
	text := c.Mark + "  " + c.From
	switch {
	case c.To != "":
		text += " -> " + c.To
	case len(c.Ends) == 1:
		text = words.Put("{jack}, dummy", "jack", text)
	}
	if c.Length != "" {
		text += "  " + c.Length
	}
	if d := c.details(); len(d) > 0 {
		text += "; " + strings.Join(d, "; ")
	}
	return text
}

// lines are the crosspoints of a matrix, those that are closed.
func (m MatrixSheet) lines() []string {
	var all []string
	for _, p := range m.Points {
		if len(p.Inputs) == 0 {
			continue
		}
		var in []string
		for _, n := range p.Inputs {
			in = append(in, fmt.Sprintf("in %d", n))
		}
		text := fmt.Sprintf("%[2]s -> out %[1]d", p.Output, words.List(in))
		if p.From != "" && p.To != "" {
			text += ": " + fromTo(p.From, p.To)
		}
		all = append(all, text)
	}
	if len(all) == 0 {
		all = []string{"all crosspoints open"}
	}
	return all
}
