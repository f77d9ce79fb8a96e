package main

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/rivo/uniseg"

	"bayhand/recall/words"
)

// progress shows on one line how far a search for a plan is, once it takes long,
// and takes the line away at the end, by spaces: not every terminal can clear a line.
type progress struct {
	to    io.Writer
	begun time.Time
	// shown is how many columns the line takes, 0 for none.
	shown int
}

// patience is how long a search goes on before anything is said of it.
const patience = 500 * time.Millisecond

// progress goes to standard error where that is a terminal, and nowhere else.
func newProgress(to io.Writer) *progress {
	if _, is := terminalOf(to); !is {
		to = io.Discard
	}
	return &progress{to: to, begun: time.Now()}
}

// tell is what plan.Request asks for; best is -1 while there is no plan.
func (p *progress) tell(_, least, best int) {
	if time.Since(p.begun) < patience {
		return
	}
	if best < 0 {
		p.line(words.Count(least, "planning; minimum 1 plug", "planning; minimum {n} plugs"))
		return
	}
	p.line(words.Put("best so far {best}, minimum {least}; Ctrl-C uses the best so far", "best", plural(best, "plug"), "least", plural(least, "plug")))
}

// work tells how far some other long work is.
func (p *progress) work(doing string, done, of int) {
	if time.Since(p.begun) < patience {
		return
	}
	p.line(fmt.Sprintf("%s, %d of %d", doing, done+1, of))
}

// line tells something that is going on, as much of it as one line has room for: a line that
// the terminal broke would stay.
func (p *progress) line(text string) {
	text = clipped(text, columnsOf(p.to)-1)
	wide := uniseg.StringWidth(text)
	fmt.Fprint(p.to, "\r"+text+strings.Repeat(" ", max(0, p.shown-wide)))
	p.shown = wide
}

// clipped is as much of a text as so many columns have room for.
func clipped(text string, columns int) string {
	var b strings.Builder
	for graphemes := uniseg.NewGraphemes(text); graphemes.Next(); {
		if columns -= graphemes.Width(); columns < 0 {
			break
		}
		b.WriteString(graphemes.Str())
	}
	return b.String()
}

// announce tells something that goes on in one piece, once it takes long; what it gives back
// is called when that has ended, and takes the line away.
func (p *progress) announce(text string, after time.Duration) (end func()) {
	told := make(chan struct{})
	timer := time.AfterFunc(after, func() {
		p.line(text)
		close(told)
	})
	return func() {
		if !timer.Stop() {
			<-told
		}
		p.end()
	}
}

func (p *progress) end() {
	if p.shown > 0 {
		fmt.Fprint(p.to, "\r"+strings.Repeat(" ", p.shown)+"\r")
	}
	p.shown = 0
}
