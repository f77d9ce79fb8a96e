package panel

import (
	"bufio"
	"context"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"
	"golang.org/x/term"

	"bayhand/simulators/line"
	"bayhand/simulators/matrix"
)

// The panel in a terminal: the far side of a pseudo terminal looks at the screen
// and presses keys.
func TestShowInATerminal(t *testing.T) {
	screen, terminal, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer screen.Close()
	defer terminal.Close()
	if err := pty.Setsize(terminal, &pty.Winsize{Rows: 20, Cols: 60}); err != nil {
		t.Fatal(err)
	}
	before, err := term.GetState(int(terminal.Fd()))
	if err != nil {
		t.Fatal(err)
	}
	p, m := made(t, matrix.Contacts, 3, 3, matrix.Faults{})
	ended := make(chan error, 1)
	go func() { ended <- p.Show(context.Background(), terminal, terminal) }()

	see(t, screen, "out1 [.]")
	screen.WriteString("\x1b[B\x1b[C ")
	see(t, screen, "out2  . [X]")
	if !m.Closed(matrix.Crosspoint{Output: 2, Input: 2}) {
		t.Errorf("closed are %v", m.State())
	}
	// What comes over the line is seen without a key.
	if err := m.Close(matrix.Line, matrix.Crosspoint{Output: 3, Input: 3}); err != nil {
		t.Fatal(err)
	}
	see(t, screen, "out3  .  .  X")
	p.Heard(line.Traffic{Received: true, Bytes: []byte("*IDN?\n")})
	see(t, screen, `< "*IDN?\n"`)
	screen.WriteString("q")
	see(t, screen, "\x1b[?1049l")
	if err := <-ended; err != nil {
		t.Error(err)
	}
	after, err := term.GetState(int(terminal.Fd()))
	if err != nil || *after != *before {
		t.Errorf("the terminal is not left as it was, %v", err)
	}
}

func TestShowEndsWithItsContext(t *testing.T) {
	screen, terminal, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer screen.Close()
	defer terminal.Close()
	p, _ := made(t, matrix.Contacts, 3, 3, matrix.Faults{})
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- p.Show(ctx, terminal, terminal) }()
	see(t, screen, help)
	cancel()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

// see reads the screen until a text has come.
func see(t *testing.T, screen *os.File, text string) {
	t.Helper()
	seen := make(chan string, 1)
	go func() {
		var all strings.Builder
		b := make([]byte, 1)
		for !strings.Contains(all.String(), text) {
			if n, err := screen.Read(b); err != nil || n == 0 {
				break
			}
			all.Write(b)
		}
		seen <- all.String()
	}()
	select {
	case all := <-seen:
		if !strings.Contains(all, text) {
			t.Fatalf("the screen ended with %q; %q was looked for", all, text)
		}
	case <-time.After(time.Minute):
		t.Fatalf("%q never came on the screen", text)
	}
}

func TestShowReadsLinesWhereThereIsNoTerminal(t *testing.T) {
	in, keyboard, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	printer, out, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	defer printer.Close()
	p, m := made(t, matrix.Selectors, 3, 3, matrix.Faults{})
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- p.Show(ctx, in, out) }()
	answers := bufio.NewReader(printer)
	for _, c := range [][2]string{{"out2 in3\n", "closed: out2:in3\n"}, {"\nout2 in1\n", "closed: out2:in1\n"}} {
		keyboard.WriteString(c[0])
		if got, err := answers.ReadString('\n'); err != nil || got != c[1] {
			t.Errorf("%q is answered with %q, %v", c[0], got, err)
		}
	}
	keyboard.Close()
	// The end of the input ends nothing.
	select {
	case err := <-ended:
		t.Errorf("it ended with %v", err)
	default:
	}
	cancel()
	if err := <-ended; err != nil || m.Listens(2) != 1 {
		t.Errorf("%v; out2 listens to %s", err, m.Listens(2))
	}
	out.Close()
}
