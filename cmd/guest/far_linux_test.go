package guest_test

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"

	"bayhand/drivers/descriptions/shipped"
	"bayhand/drivers/ports"
	"bayhand/simulators/line"
	"bayhand/simulators/matrix"
)

// simulate is a simulated matrix of two by two on a pseudo-terminal.
func simulate(t *testing.T, description, kind string) (state *matrix.Matrix, terminal string) {
	t.Helper()
	terminal = filepath.Join(t.TempDir(), "line")
	o := line.Options{Description: shipped.Named(t, description), Inputs: 2, Outputs: 2, Listen: kind + ":" + terminal}
	var err error
	if o.Matrix, err = line.NewMatrix(o); err != nil {
		t.Fatal(err)
	}
	ready, ended := make(chan struct{}), make(chan error, 1)
	go func() { ended <- line.Serve(t.Context(), o, func(string) { close(ready) }) }()
	select {
	case <-ready:
	case err := <-ended:
		t.Fatal(err)
	}
	return o.Matrix, terminal
}

// join carries bytes between a pseudo-terminal and the far end of a line, which
// may be pulled and put back; path finds it each time.
func join(ctx context.Context, terminal string, path func() string) {
	again := time.NewTicker(200 * time.Millisecond)
	defer again.Stop()
	for {
		if far, err := ports.OpenDevice(path(), os.O_RDWR); err == nil {
			if near, err := ports.OpenDevice(terminal, os.O_RDWR); err == nil {
				_ = ports.MakeRaw(far) // a device that is no terminal is left as it is
				carry(ctx, near, far)
			}
			far.Close()
		}
		select {
		case <-ctx.Done():
			return
		case <-again.C:
		}
	}
}

// carry copies both ways until one ends.
func carry(ctx context.Context, near, far io.ReadWriteCloser) {
	stop := context.AfterFunc(ctx, func() { near.Close(); far.Close() })
	defer stop()
	var both sync.WaitGroup
	move := func(to io.WriteCloser, from io.ReadCloser) {
		_, _ = io.Copy(to, from) // it ends when an end does
		to.Close()
		from.Close()
	}
	both.Go(func() { move(near, far) })
	both.Go(func() { move(far, near) })
	both.Wait()
}

// cardNamed is the raw MIDI device that the kernel gives a name.
func cardNamed(name string) func() string {
	return func() string {
		devices, err := ports.Devices("/")
		if err != nil {
			return ""
		}
		for _, d := range devices {
			if d.Name == name {
				return d.Path
			}
		}
		return ""
	}
}

// joinPorts carries messages between a pseudo-terminal and a port of the
// sequencer.
func joinPorts(t *testing.T, terminal, port string) {
	t.Helper()
	in, err := ports.In(port)
	if err != nil {
		t.Fatal(err)
	}
	out, err := ports.Out(port)
	if err != nil {
		t.Fatal(err)
	}
	near, far := ports.RawIn(terminal), ports.RawOut(terminal)
	for _, p := range []drivers.Port{in, out, near, far} {
		if err := p.Open(); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { p.Close() })
	}
	both := drivers.ListenConfig{SysEx: true, SysExBufferSize: 10_000}
	for from, to := range map[drivers.In]drivers.Out{in: far, near: out} {
		stop, err := from.Listen(func(message []byte, _ int32) { _ = to.Send(message) }, both)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(stop)
	}
}
