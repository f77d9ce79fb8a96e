package panel

import (
	"bufio"
	"context"
	"encoding/json"
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
	lines := linesOf(ctx, in)
	for {
		select {
		case <-ctx.Done():
			return nil
		case line, more := <-lines:
			if !more {
				<-ctx.Done()
				return nil
			}
			if _, err := fmt.Fprintln(out, p.Type(line)); err != nil {
				return fmt.Errorf("can't answer: %w", err)
			}
		}
	}
}

// linesOf are the typed lines with anything in them, until there are no more.
func linesOf(ctx context.Context, in io.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for scanner := bufio.NewScanner(in); scanner.Scan(); {
			if strings.TrimSpace(scanner.Text()) == "" {
				continue
			}
			select {
			case lines <- scanner.Text():
			case <-ctx.Done():
				return
			}
		}
	}()
	return lines
}

// Follow writes the state as JSON, one line for each change, for programs that
// watch. Typed lines are obeyed; what is wrong with one is {"error": "..."}. It
// ends with ctx.
func (p *Panel) Follow(ctx context.Context, in io.Reader, out io.Writer) error {
	changed, unwatch := p.matrix.Watch()
	defer unwatch()
	lines := linesOf(ctx, in)
	say := func(text string) error {
		if text == "" {
			return nil
		}
		if _, err := fmt.Fprintln(out, text); err != nil {
			return fmt.Errorf("can't tell the state: %w", err)
		}
		return nil
	}
	err := say(p.json())
	for err == nil {
		select {
		case <-ctx.Done():
			return nil
		case <-changed:
			err = say(p.json())
		case line, more := <-lines:
			if !more {
				lines = nil // nobody types any more
				continue
			}
			err = say(p.follow(line))
		}
	}
	return err
}

// follow does what a typed line says, and gives what is to be told of it beside the
// change that it brings.
func (p *Panel) follow(line string) string {
	words := strings.Fields(line)
	if len(words) == 1 && (words[0] == "json" || words[0] == "show") {
		return p.json()
	}
	if err := p.obey(words); err != nil {
		return errorJSON(err)
	}
	return ""
}

func errorJSON(wrong error) string {
	text, err := json.Marshal(map[string]string{"error": wrong.Error()})
	if err != nil {
		panic("panel: an error that has no JSON: " + err.Error())
	}
	return string(text)
}
