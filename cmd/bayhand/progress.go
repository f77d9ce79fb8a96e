package main

import (
	"bayhand/recall/words"
	"fmt"
	"io"
	"os"
	"time"

	"golang.org/x/term"
)

// progress shows on one line how far a search for a plan is, once it takes long,
// and takes the line away at the end.
type progress struct {
	to    io.Writer
	begun time.Time
	shown bool
}

// patience is how long a search goes on before anything is said of it.
const patience = 500 * time.Millisecond

// progress goes to standard error where that is a terminal, and nowhere else.
func newProgress(to io.Writer) *progress {
	file, ok := to.(*os.File)
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return &progress{to: io.Discard, begun: time.Now()}
	}
	return &progress{to: file, begun: time.Now()}
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
	p.shown = true
	fmt.Fprintf(p.to, "\r\x1b[K%s, %d of %d", doing, done+1, of)
}

// line tells something that is going on.
func (p *progress) line(text string) {
	p.shown = true
	fmt.Fprint(p.to, "\r\x1b[K"+text)
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
	if p.shown {
		fmt.Fprint(p.to, "\r\x1b[K")
	}
}
