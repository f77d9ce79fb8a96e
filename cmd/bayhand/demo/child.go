package demo

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync"
	"time"
)

// patience is the longest that a child may take to say what it is asked.
const patience = 10 * time.Second

// child is a process that the demo started, in a process group of its own, so
// that a Ctrl-C at the terminal does not reach it before the demo has.
type child struct {
	name    string
	command *exec.Cmd
	in      io.WriteCloser
	lines   chan string
	// ended is closed when the process is gone.
	ended chan struct{}
	stop  sync.Once
	// complaints are the last words of its standard error.
	complaints tail
}

// spawn starts this program again with other arguments. The child dies with the
// demo (see tether).
func (n *nursery) spawn(name string, program []string, args ...string) (*child, error) {
	c := &child{name: name, lines: make(chan string, 64), ended: make(chan struct{})}
	c.command = &exec.Cmd{Path: program[0], Args: append([]string{program[1]}, args...), SysProcAttr: tether(), Stderr: &c.complaints}
	in, err := c.command.StdinPipe()
	if err != nil {
		return nil, err
	}
	out, err := c.command.StdoutPipe()
	if err != nil {
		return nil, err
	}
	c.in = in
	if err := n.start(c.command); err != nil {
		return nil, fmt.Errorf("%s cannot be started: %w", name, err)
	}
	go c.listen(out)
	return c, nil
}

// listen passes its lines on until it ends. Lines that nobody waits for any
// more are let go.
func (c *child) listen(out io.Reader) {
	for lines := bufio.NewScanner(out); lines.Scan(); {
		select {
		case c.lines <- lines.Text():
		default:
		}
	}
	c.command.Wait() // its status is of no interest: it was told to end, or it is missed
	close(c.ended)
}

// line waits for a line that begins with prefix, and returns the rest of it.
func (c *child) line(ctx context.Context, prefix string) (string, error) {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	for {
		select {
		case text := <-c.lines:
			if rest, ok := strings.CutPrefix(text, prefix); ok {
				return rest, nil
			}
		case <-c.ended:
			return "", fmt.Errorf("%s ended: %s", c.name, c.complaints.String())
		case <-ctx.Done():
			return "", fmt.Errorf("%s says nothing: %w %s", c.name, ctx.Err(), c.complaints.String())
		}
	}
}

// ask types a line at it and waits for the answer.
func (c *child) ask(ctx context.Context, typed, answer string) (string, error) {
	if _, err := io.WriteString(c.in, typed+"\n"); err != nil {
		return "", fmt.Errorf("%s does not listen: %w", c.name, err)
	}
	return c.line(ctx, answer)
}

// end asks the process to end, then makes it, with everything it started.
func (c *child) end() {
	c.stop.Do(func() {
		c.command.Process.Signal(os.Interrupt)
		c.in.Close()
		timer := time.NewTimer(patience / 2)
		defer timer.Stop()
		select {
		case <-c.ended:
		case <-timer.C:
			killGroup(c.command.Process)
			<-c.ended
		}
	})
}

// kill takes the power away: no goodbye.
func (c *child) kill() {
	c.stop.Do(func() {
		killGroup(c.command.Process)
		<-c.ended
		c.in.Close()
	})
}

// tail keeps the last bytes that were written to it.
type tail struct {
	mu   sync.Mutex
	text []byte
}

const tailLength = 2000

func (t *tail) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.text = append(t.text, p...)
	t.text = t.text[max(0, len(t.text)-tailLength):]
	return len(p), nil
}

func (t *tail) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return strings.TrimSpace(string(t.text))
}

var errNoProgram = errors.New("this program cannot find itself")

// program is this program's file and the name that it was called by.
func program() ([]string, error) {
	file, err := os.Executable()
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errNoProgram, err)
	}
	return []string{file, os.Args[0]}, nil
}
