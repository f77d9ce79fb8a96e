package link

import (
	"context"
	"errors"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"
	"gitlab.com/gomidi/midi/v2/drivers/testdrv"
)

func TestNoSuchPort(t *testing.T) {
	if _, err := Open(context.Background(), "midi:No Such Port At All", Options{}); err == nil || !strings.Contains(err.Error(), "can't open midi:No Such Port At All: ") {
		t.Error(err)
	}
}

// portPair is the library's own driver for tests: what is sent to its out port
// comes to its in port.
func portPair(t *testing.T) (drivers.In, drivers.Out) {
	t.Helper()
	driver := testdrv.New("loop")
	ins, err := driver.Ins()
	if err != nil {
		t.Fatal(err)
	}
	outs, err := driver.Outs()
	if err != nil {
		t.Fatal(err)
	}
	return ins[0], outs[0]
}

func TestOverPorts(t *testing.T) {
	in, out := portPair(t)
	l, err := overPorts("midi:loop", in, out)
	if err != nil {
		t.Fatal(err)
	}
	// A control change, then one by running status, in two writes: MIDI 1.0.
	sent := "\xB2\x00\x02\x20\x2C\xC2\x04"
	want := "\xB2\x00\x02\xB2\x20\x2C\xC2\x04"
	go func() {
		for _, piece := range []string{sent[:4], sent[4:]} {
			if _, err := l.Write([]byte(piece)); err != nil {
				t.Error(err)
			}
		}
	}()
	got := make([]byte, len(want))
	if _, err := io.ReadFull(l, got); err != nil || string(got) != want {
		t.Errorf("it came as % X, %v, want % X", got, err, want)
	}
	if err := l.SetReadDeadline(time.Now().Add(10 * time.Millisecond)); err != nil {
		t.Fatal(err)
	}
	if _, err := l.Read(got); !errors.Is(err, os.ErrDeadlineExceeded) {
		t.Errorf("a read that nothing comes to: %v", err)
	}
	closing(t, l)
	if in.IsOpen() || out.IsOpen() {
		t.Error("a port is still open")
	}
}
