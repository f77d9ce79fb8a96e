package paper

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"bayhand/recall/words"
)

// Width is that of a terminal whose width is not known; the narrowest that a
// text is set in is Narrowest columns.
const (
	Width     = 80
	Narrowest = 24
)

// Text writes the sheet for a terminal of the given width in columns; 0 means
// Width, and less than Narrowest means Narrowest. No line is wider, whatever the
// labels. The error is the writer's.
func Text(w io.Writer, sheet Sheet, width int) error {
	if width == 0 {
		width = Width
	}
	t := text{to: bufio.NewWriter(w), width: max(width, Narrowest)}
	t.head(sheet)
	if sheet.ByHand() > 0 {
		t.list("Before you plug", words.Cautions)
	}
	t.list("Problems", sheet.Problems)
	t.list("Notes", sheet.Advice)
	t.list(sheet.aboutTitle(), sheet.Notes)
	t.list("Settings", sheet.Settings)
	t.steps(sheet.Lines)
	t.missing(sheet.Missing)
	t.list("Will lose signal", sheet.Loses)
	return t.to.Flush()
}

// text is a sheet being written. Its writer keeps the first error until it is
// flushed.
type text struct {
	to    *bufio.Writer
	width int
}

func (t text) line(indent int, s string) {
	for _, l := range wrapColumns(s, t.width-indent) {
		fmt.Fprintln(t.to, strings.Repeat(" ", indent)+l)
	}
}

func (t text) gap() { fmt.Fprintln(t.to) }

func (t text) head(s Sheet) {
	t.line(0, s.Session)
	studio := s.Studio
	if !s.Date.IsZero() {
		studio = strings.TrimPrefix(studio+", "+day(s), ", ")
	}
	t.line(0, studio)
	t.line(0, s.Caption)
	t.line(0, remains(s))
}

func day(s Sheet) string { return dayOf(s.Date) }

func dayOf(t time.Time) string { return t.Format("2006-01-02") }

// remains counts what is left in a sentence.
func remains(s Sheet) string {
	hand, all := s.ByHand(), len(s.Lines)
	switch {
	case all == 0 && len(s.Missing) > 0:
		return "no steps left; some connections not possible"
	case all == 0:
		return "no steps left"
	case hand == 0:
		return words.Count(all, "1 step left, not by hand", "{n} steps left, none of them by hand")
	case hand == all:
		return words.Count(all, "1 step left, by hand", "{n} steps left, by hand")
	}
	return words.Put("{all} steps left, {n} of them by hand", "all", strconv.Itoa(all), "n", strconv.Itoa(hand))
}

func (t text) list(title string, phrases []string) {
	if len(phrases) == 0 {
		return
	}
	t.gap()
	t.line(0, title)
	for _, p := range phrases {
		t.line(2, p)
	}
}

func (t text) missing(all []Missing) {
	if len(all) == 0 {
		return
	}
	t.gap()
	t.line(0, "Not possible")
	for _, m := range all {
		t.line(2, m.Want)
		t.line(4, m.Because)
	}
}
