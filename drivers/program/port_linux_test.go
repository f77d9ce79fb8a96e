package program

import (
	"context"
	"errors"
	"os"
	"testing"

	"github.com/creack/pty"

	"bayhand/drivers/ports"
	"bayhand/simulators/leaks"
)

func TestMain(m *testing.M) { leaks.TestMain(m) }

func cable(t *testing.T) (far *os.File, port string) {
	t.Helper()
	far, near, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	if err := ports.MakeRaw(near); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { far.Close(); near.Close() })
	return far, "rawmidi:" + near.Name()
}

func TestHear(t *testing.T) {
	far, port := cable(t)
	ctx, cancel := context.WithCancel(t.Context())
	ready, heard, ended := make(chan bool), make(chan Program), make(chan error)
	go func() { ended <- Hear(ctx, port, func() { close(ready) }, func(p Program) { heard <- p }) }()
	<-ready
	if _, err := far.WriteString("\xB2\x00\x02\x20\x2C\xC2\x04"); err != nil {
		t.Fatal(err)
	}
	if p := <-heard; p != (Program{3, 300, 4}) {
		t.Errorf("%v was heard", p)
	}
	cancel()
	if err := <-ended; err != nil {
		t.Errorf("it was told to end and gave %v", err)
	}
}

func TestHearUntilPulled(t *testing.T) {
	far, port := cable(t)
	ready, ended := make(chan bool), make(chan error)
	go func() { ended <- Hear(t.Context(), port, func() { close(ready) }, func(Program) {}) }()
	<-ready
	far.Close()
	if err := <-ended; !errors.Is(err, ErrGone) {
		t.Errorf("the port was pulled, and it gave %v", err)
	}
}

func TestSend(t *testing.T) {
	far, port := cable(t)
	if err := Send(port, Program{3, NoBank, 4}); err != nil {
		t.Fatal(err)
	}
	got := make([]byte, 10)
	if n, err := far.Read(got); err != nil || string(got[:n]) != "\xC2\x04" {
		t.Errorf("% X came, %v", got[:n], err)
	}
	if err := Send("rawmidi:/dev/no/such/device", Program{3, NoBank, 4}); err == nil {
		t.Error("it was sent to nowhere")
	}
}
