package conformance_test

import (
	"fmt"
	"io"
	"net"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
	"golang.org/x/term"

	"bayhand/drivers/link"
)

// usualLineRuns is how many runs each kind of real line has; with BAYHAND_RUNS
// it is mostLineRuns, since they take real time.
const (
	usualLineRuns = 3
	mostLineRuns  = 50
)

// The same over lines of the kernel's: a pseudo-terminal opened as a serial line,
// and TCP.
func TestFaultsOverRealLines(t *testing.T) {
	count := usualLineRuns
	if os.Getenv("BAYHAND_RUNS") != "" {
		count = mostLineRuns
	}
	for name, over := range map[string]func(testing.TB, *cable) (link.Link, func()){"pty": overPTY, "tcp": overTCP} {
		for seed := range count {
			t.Run(fmt.Sprintf("%s %d", name, seed), func(t *testing.T) {
				t.Parallel()
				onLine(t, seed, over)
			})
		}
	}
}

func onLine(t *testing.T, seed int, over func(testing.TB, *cable) (link.Link, func())) {
	all := shipped(t)
	d := all[seed%len(all)]
	d.Pacing.Timeout = 400
	real := func(r *rig) {
		r.over = over
		r.settle = func() { eventually(r) }
	}
	ends := outcomes{}
	newRun(t, d, uint64(seed)+1_000_000, real).all(ends)
	if len(ends) == 0 {
		t.Error("nothing was read")
	}
}

// eventually waits until the device has not changed for a while.
func eventually(r *rig) {
	tick := time.NewTicker(20 * time.Millisecond)
	defer tick.Stop()
	for last, same := -1, 0; same < 10; {
		<-tick.C
		if now := r.state.Last(); now != last {
			last, same = now, 0
		}
		same++
	}
}

func overTCP(t testing.TB, c *cable) (link.Link, func()) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	l, err := link.Open(t.Context(), "tcp:"+listener.Addr().String(), link.Options{})
	if err != nil {
		t.Fatal(err)
	}
	conn, err := listener.Accept()
	if err != nil {
		t.Fatal(err)
	}
	return l, relay(conn, c)
}

func overPTY(t testing.TB, c *cable) (link.Link, func()) {
	blocking, line, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer line.Close()
	if _, err := term.MakeRaw(int(line.Fd())); err != nil {
		t.Fatal(err)
	}
	l, err := link.Open(t.Context(), "serial:"+line.Name(), link.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return l, relay(pollable(t, blocking), c)
}

// relay moves bytes between a real line and the cable until either ends.
func relay(real io.ReadWriteCloser, c *cable) (end func()) {
	var both sync.WaitGroup
	move := func(to io.Writer, from io.Reader) {
		_, _ = io.Copy(to, from) // it ends when an end does
		c.unplug()
		real.Close()
	}
	both.Go(func() { move(onlyWriter{driverEnd{c}}, real) })
	both.Go(func() { move(real, onlyReader{driverEnd{c}}) })
	return func() {
		c.unplug()
		real.Close()
		both.Wait()
	}
}

type onlyReader struct{ io.Reader }
type onlyWriter struct{ io.Writer }
