package conformance_test

import (
	"fmt"
	"io"
	"net"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
	"golang.org/x/term"

	"bayhand/drivers/link"
	"bayhand/model/device"
	"bayhand/model/patch"
)

// lineRuns are the seeds of the runs of a description over each kind of real line:
// BAYHAND_LINES tells them, as BAYHAND_RUNS does those without a line. They take real time, up to a
// minute for a device that is asked for one output at a time; so without it there is one
// for each that is asked for all at once.
func lineRuns(t *testing.T, d *device.Description) []uint64 {
	if list := told(t, "BAYHAND_LINES"); list != nil {
		return list
	}
	if _, atOnce := d.Exchange(device.Read); atOnce {
		return between(0, 0)
	}
	return nil
}

// mostLines is how many lines a process has open at once: what opens serial lines waits by
// select(2), which knows no descriptor from 1024 on.
const mostLines = 256

// The same over lines of the kernel's: a pseudo-terminal opened as a serial line,
// and TCP. They wait most of their time, so many run side by side.
func TestFaultsOverRealLines(t *testing.T) {
	var all sync.WaitGroup
	defer all.Wait()
	slots := make(chan struct{}, mostLines)
	for name, over := range map[string]func(testing.TB, *cable) (link.Link, func()){"pty": overPTY, "tcp": overTCP} {
		for i, d := range shipped(t) {
			for _, seed := range lineRuns(t, d) {
				slots <- struct{}{}
				all.Go(func() {
					defer func() { <-slots }()
					t.Run(fmt.Sprintf("%s %s %d", name, d.Name, seed), func(t *testing.T) {
						onLine(t, *d, uint64(1000*i)+seed, over)
					})
				})
			}
		}
	}
}

// onLine is one run. What is late is so by half of what the driver can bear, since
// a machine that is busy adds to it.
func onLine(t *testing.T, d device.Description, seed uint64, over func(testing.TB, *cable) (link.Link, func())) {
	d.Pacing.Timeout = 400
	real := func(r *rig) {
		r.over = over
		r.settle = func(target []patch.Crosspoint) { eventually(r, target) }
	}
	ends := outcomes{}
	newRun(t, &d, seed+1_000_000, timeoutOf(&d)/2, real).all(ends)
	if len(ends) == 0 {
		t.Error("nothing was read")
	}
}

// eventually waits until the device has what was sent; half a minute of looking is
// a device that never gets it.
func eventually(r *rig, target []patch.Crosspoint) {
	tick := time.NewTicker(20 * time.Millisecond)
	defer tick.Stop()
	for range 1500 {
		if slices.Equal(r.have(), target) {
			return
		}
		<-tick.C
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
