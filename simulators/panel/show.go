package panel

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"sync"

	"golang.org/x/term"
)

// Show works the panel until ctx ends, the person leaves, or the input ends; it
// returns nil then. On a terminal it takes the whole screen, and leaves it as
// it was. Where in or out is no terminal it reads typed lines and prints their
// answers; then the end of the input ends nothing, since a device has no need
// of a person.
func (p *Panel) Show(ctx context.Context, in, out *os.File) error {
	if !term.IsTerminal(int(in.Fd())) || !term.IsTerminal(int(out.Fd())) {
		return p.typed(ctx, in, out)
	}
	keyboard, closeKeyboard, err := reopen(in)
	if err != nil {
		return fmt.Errorf("can't read keys from the terminal: %w", err)
	}
	before, err := term.MakeRaw(int(in.Fd()))
	if err != nil {
		closeKeyboard()
		return fmt.Errorf("can't put the terminal in raw mode: %w", err)
	}
	defer term.Restore(int(in.Fd()), before)
	// The other screen, without a cursor; both back at the end.
	io.WriteString(out, "\x1b[?1049h\x1b[?25l")
	defer io.WriteString(out, "\x1b[?25h\x1b[?1049l")
	return p.screen(ctx, keyboard, closeKeyboard, out)
}

// screen draws and takes keys until it is time to leave.
func (p *Panel) screen(ctx context.Context, keyboard io.Reader, closeKeyboard func(), out *os.File) error {
	ctx, cancel := context.WithCancel(ctx)
	var reading sync.WaitGroup
	reading.Go(func() {
		defer cancel()
		p.read(keyboard)
	})
	changed, unwatch := p.matrix.Watch()
	sizes, unsize := resized()
	defer func() {
		unwatch()
		unsize()
		closeKeyboard()
		reading.Wait()
		cancel()
	}()
	for {
		width, height, err := term.GetSize(int(out.Fd()))
		if err != nil || width == 0 || height == 0 {
			width, height = usualWidth, usualHeight
		}
		if err := paint(out, p.Draw(width, height)); err != nil {
			return fmt.Errorf("can't draw on the terminal: %w", err)
		}
		select {
		case <-ctx.Done():
			return nil
		case <-changed:
		case <-sizes:
		case <-p.stir:
		}
	}
}

// A terminal that does not say its size has this one.
const usualWidth, usualHeight = 80, 24

// paint writes the lines over what stood there, each cleared to its end.
func paint(out io.Writer, lines []string) error {
	_, err := io.WriteString(out, "\x1b[H"+strings.Join(lines, "\x1b[K\r\n")+"\x1b[K\x1b[J")
	return err
}

// read presses the keys that arrive, until one leaves or there are no more.
func (p *Panel) read(keyboard io.Reader) {
	var k keys
	bytes := bufio.NewReader(keyboard)
	for {
		b, err := bytes.ReadByte()
		if err != nil {
			return
		}
		if key, whole := k.add(b); whole && !p.Press(key) {
			return
		}
	}
}

// typed answers typed lines until there are no more, and then waits for ctx.
func (p *Panel) typed(ctx context.Context, in io.Reader, out io.Writer) error {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for scanner := bufio.NewScanner(in); scanner.Scan(); {
			select {
			case lines <- scanner.Text():
			case <-ctx.Done():
				return
			}
		}
	}()
	for {
		select {
		case <-ctx.Done():
			return nil
		case line, more := <-lines:
			if !more {
				<-ctx.Done()
				return nil
			}
			if strings.TrimSpace(line) == "" {
				continue
			}
			if _, err := fmt.Fprintln(out, p.Type(line)); err != nil {
				return fmt.Errorf("can't answer: %w", err)
			}
		}
	}
}
