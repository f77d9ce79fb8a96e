package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"bayhand/drivers/descriptions/shipped"
	"bayhand/model/device"
	"bayhand/simulators/line"
	"bayhand/simulators/matrix"
)

// recorder is a device on a serial line behind a server whose newest client ends the one
// before, with what came to the device, in order and by connection.
type recorder struct {
	*testing.T
	about  *device.Description
	matrix *matrix.Matrix
	line   net.Conn // the server's end of the cable
	doors  map[string]net.Listener
	// several is a server without a fence, where older clients go on: a planted mistake.
	several bool
	// halve has half of what a client sends next through, and nothing more of it.
	halve  atomic.Bool
	newest atomic.Pointer[client]

	// mu guards the fields below.
	mu      sync.Mutex
	clients int
	heard   []arrived
}

// arrived is what came to the device at once.
type arrived struct {
	host       string
	connection int
	at         time.Time
	bytes      string
}

// client is one connection, from one host.
type client struct {
	host   string
	number int
	serial io.ReadWriteCloser
}

func newRecorder(t *testing.T, hosts ...string) *recorder {
	t.Helper()
	var err error
	about := shipped.Named(t, "line-switch")
	r := &recorder{T: t, about: about, doors: map[string]net.Listener{}}
	o := line.Options{Description: about, Inputs: 2, Outputs: 2}
	if r.matrix, err = line.NewMatrix(o); err != nil {
		t.Fatal(err)
	}
	o.Matrix = r.matrix
	var all sync.WaitGroup
	ctx, stop := context.WithCancel(context.Background())
	near, far := net.Pipe()
	r.line = near
	all.Go(func() { _ = line.Talk(ctx, o, far) })
	all.Go(r.answers)
	for _, host := range hosts {
		door, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			t.Fatal(err)
		}
		r.doors[host] = door
		all.Go(func() { r.open(door, host, &all) })
	}
	t.Cleanup(func() {
		stop()
		_ = near.Close()
		for _, door := range r.doors {
			_ = door.Close()
		}
		r.restart()
		all.Wait()
	})
	return r
}

func (r *recorder) open(door net.Listener, host string, all *sync.WaitGroup) {
	for {
		conn, err := door.Accept()
		if err != nil {
			return
		}
		c := &client{host: host, serial: line.NetSerial(conn, r.about)}
		r.mu.Lock()
		r.clients++
		c.number = r.clients
		before := r.newest.Swap(c)
		r.mu.Unlock()
		if before != nil && !r.several {
			_ = before.serial.Close()
		}
		all.Go(func() { r.pass(c) })
	}
}

// pass has what a client sends come to the device.
func (r *recorder) pass(c *client) {
	defer c.serial.Close()
	p := make([]byte, 4096)
	for deaf := false; ; {
		n, err := c.serial.Read(p)
		if n > 0 && !deaf {
			passed := p[:n]
			if n > 2 && r.halve.CompareAndSwap(true, false) {
				passed, deaf = passed[:n/2], true
			}
			if !r.record(c, passed) {
				return
			}
		}
		if err != nil {
			return
		}
	}
}

// record is the end of the line, where a client is let through or not.
func (r *recorder) record(c *client, p []byte) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.newest.Load() != c && !r.several {
		return false
	}
	r.heard = append(r.heard, arrived{c.host, c.number, time.Now(), string(p)})
	_, err := r.line.Write(p)
	return err == nil
}

// answers go to the newest client.
func (r *recorder) answers() {
	p := make([]byte, 4096)
	for {
		n, err := r.line.Read(p)
		if err != nil {
			return
		}
		if c := r.newest.Load(); c != nil {
			_, _ = c.serial.Write(p[:n])
		}
	}
}

// restart ends the connection, as a server does that is switched off and on.
func (r *recorder) restart() {
	if c := r.newest.Load(); c != nil {
		_ = c.serial.Close()
	}
}

// count is how much came so far.
func (r *recorder) count() int {
	r.mu.Lock()
	defer r.mu.Unlock()
	return len(r.heard)
}

// since are what came from a count on.
func (r *recorder) since(n int) []arrived {
	r.mu.Lock()
	defer r.mu.Unlock()
	return slices.Clone(r.heard[n:])
}

// wrong says what no line may hear: after the first byte of a new owner one of an older,
// a new connection that begins within a line, or a host whose turn it is not.
func (r *recorder) wrong(owners ...string) error {
	var older, within error
	newest, turns := 0, []string{}
	for _, a := range r.since(0) {
		if a.connection < newest && older == nil {
			older = fmt.Errorf("%q of connection %d, of host %s, comes after connection %d", a.bytes, a.connection, a.host, newest)
		}
		if a.connection > newest && !strings.HasPrefix(a.bytes, "\n") && within == nil {
			within = fmt.Errorf("connection %d, of host %s, begins with %q", a.connection, a.host, a.bytes)
		}
		if newest = max(newest, a.connection); len(turns) == 0 || turns[len(turns)-1] != a.host {
			turns = append(turns, a.host)
		}
	}
	if !slices.Equal(turns, owners) {
		return errors.Join(older, within, fmt.Errorf("the line was driven by %s in turn, and granted to %s", strings.Join(turns, ", "), strings.Join(owners, ", ")))
	}
	return errors.Join(older, within)
}
