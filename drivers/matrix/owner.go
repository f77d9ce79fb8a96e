package matrix

import (
	"context"
	"errors"
	"fmt"
)

// call is something that the owner is asked to do; it answers once.
type call struct {
	do     func() error
	answer chan error
}

// chunk is some bytes as they came, or why no more will come.
type chunk struct {
	bytes []byte
	err   error
}

// do has the owner carry out work, and names matrix and step in its error.
func (t *conversation) do(ctx context.Context, step string, work func(context.Context) error) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	c := call{answer: make(chan error, 1)}
	c.do = func() error { return work(ctx) }
	var err error
	select {
	case t.calls <- c:
		err = <-c.answer
	case <-ctx.Done():
		err = context.Cause(ctx)
	case <-t.closing:
		err = errClosed
	}
	if err != nil {
		return fmt.Errorf("%s: %s: %w", t.studio.Name, step, err)
	}
	return nil
}

// own is the goroutine that owns the link.
func (t *conversation) own() {
	defer close(t.ended)
	defer close(t.reports)
	for {
		select {
		case <-t.closing:
			return
		case c := <-t.calls:
			c.answer <- c.do()
		case c := <-t.incoming:
			for _, received := range t.take(c) {
				t.unasked(received)
			}
		}
	}
}

// read is the goroutine that reads the link until it ends.
func (t *conversation) read() {
	buffer := make([]byte, 4096)
	for {
		n, err := t.link.Read(buffer)
		c := chunk{bytes: append([]byte(nil), buffer[:n]...), err: err}
		select {
		case t.incoming <- c:
		case <-t.closing:
			return
		}
		if err != nil {
			return
		}
	}
}

// take cuts what came into messages. A link that has ended is remembered.
func (t *conversation) take(c chunk) [][]byte {
	if c.err != nil {
		t.gone = c.err
		if !errors.Is(c.err, ErrGone) {
			t.gone = fmt.Errorf("%w (%w)", ErrGone, c.err)
		}
	}
	// What was too long to be a message is lost; whoever waits for one hears
	// nothing, which is the truth.
	messages, _ := t.framer.Feed(c.bytes)
	return messages
}

// drain takes what has come already, without waiting.
func (t *conversation) drain() {
	for {
		select {
		case c := <-t.incoming:
			for _, received := range t.take(c) {
				t.unasked(received)
			}
			if c.err != nil {
				return
			}
		default:
			return
		}
	}
}
