package main

import (
	"bufio"
	"context"
	"errors"
	"os"
	"strings"
	"sync"

	"golang.org/x/term"
)

// asking has questions answered, and has any key stop what is going on. One goroutine
// reads what is typed, from the first need of it on: a read of a terminal cannot be
// taken back, so that it outlives the command.
type asking struct {
	out   *output
	file  *os.File // the terminal; nil where there is none
	once  sync.Once
	from  *bufio.Reader
	typed chan byte // closed at the end of what is typed
}

func newAsking(a *app) *asking {
	k := &asking{out: a.out, from: bufio.NewReader(a.in), typed: make(chan byte)}
	if file, ok := a.in.(*os.File); ok && term.IsTerminal(int(file.Fd())) {
		k.file = file
	}
	return k
}

func (k *asking) read() {
	k.once.Do(func() {
		go func() {
			defer close(k.typed)
			for {
				c, err := k.from.ReadByte()
				if err != nil {
					return
				}
				k.typed <- c
			}
		}()
	})
}

// errNotAnswered is a question that nobody answered with yes.
var errNotAnswered = errors.New("nothing was played: the question was not answered with yes. Answer it, or add --yes once you have checked")

// agree asks a question; Enter, y and yes are the answer that it wants.
func (k *asking) agree(question string) error {
	k.out.complainf("%s", question)
	k.read()
	var answer strings.Builder
	for c := range k.typed {
		if c == '\n' {
			word := strings.ToLower(strings.TrimSpace(answer.String()))
			if word == "" || word == "y" || word == "yes" {
				return nil
			}
			return &failure{cannot, errNotAnswered}
		}
		answer.WriteByte(c)
	}
	k.out.complainf("\n")
	return &failure{cannot, errNotAnswered}
}

// keys has any key at the terminal stop something, until the function that it gives
// is called. Where what is typed is no terminal, there are no keys.
func (k *asking) keys(stop context.CancelFunc) (end func()) {
	if k.file == nil {
		return func() {}
	}
	fd := int(k.file.Fd())
	before, err := term.MakeRaw(fd)
	if err != nil {
		return func() {} // Ctrl-C stops it all the same
	}
	k.read()
	over, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		select {
		case <-k.typed:
			stop()
		case <-over:
		}
	}()
	return func() {
		close(over)
		<-ended
		_ = term.Restore(fd, before) // a terminal that is gone needs none
	}
}
