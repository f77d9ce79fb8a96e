package conformance_test

import (
	"fmt"
	"io"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"bayhand/drivers/link"
)

// cable is a line between a driver and a device, in memory. The driver's end is
// a link; the device's is a stream.
type cable struct {
	toDevice, toDriver *wire
	// messages counts those that the driver has sent.
	messages atomic.Int64
}

// bitsPerByte are those of a serial line: a start bit, eight of data, a stop bit.
const bitsPerByte = 10

func newCable(baud int, split bool, faults []fault) *cable {
	c := &cable{toDevice: newWire(baud, split), toDriver: newWire(baud, split)}
	for _, f := range faults {
		if f.toDevice {
			c.toDevice.faults = append(c.toDevice.faults, f)
		} else {
			c.toDriver.faults = append(c.toDriver.faults, f)
		}
	}
	return c
}

// unplug takes the cable out, for both ends.
func (c *cable) unplug() {
	c.toDevice.end(io.EOF)
	c.toDriver.end(fmt.Errorf("cable: %w (unplugged)", link.ErrGone))
}

// driverEnd is the cable as a link.
type driverEnd struct{ *cable }

func (d driverEnd) Read(p []byte) (int, error) { return d.toDriver.read(p) }
func (d driverEnd) Write(p []byte) (int, error) {
	d.messages.Add(1)
	return d.toDevice.write(p)
}
func (d driverEnd) SetReadDeadline(time.Time) error  { return nil }
func (d driverEnd) SetWriteDeadline(time.Time) error { return nil }
func (d driverEnd) String() string                   { return "cable:" }

func (d driverEnd) Baud() int { return d.toDevice.baud }

func (d driverEnd) Close() error {
	d.toDriver.end(os.ErrClosed)
	d.toDevice.end(io.EOF)
	return nil
}

// deviceEnd is the cable as the device has it.
type deviceEnd struct{ *cable }

func (d deviceEnd) Read(p []byte) (int, error)  { return d.toDevice.read(p) }
func (d deviceEnd) Write(p []byte) (int, error) { return d.toDriver.write(p) }
func (d deviceEnd) Close() error                { d.toDevice.end(io.EOF); return nil }

// arriving is a byte under way.
type arriving struct {
	value byte
	at    time.Time
}

// wire is one direction.
type wire struct {
	baud  int
	split bool
	// more is told when something changed.
	more chan struct{}
	over chan struct{}

	// mu guards the fields below.
	mu     sync.Mutex
	queue  []arriving
	faults []fault
	noise  func(b byte) []byte
	// count is how many bytes were sent, last when the last of them arrives.
	count int
	last  time.Time
	err   error
}

func newWire(baud int, split bool) *wire {
	return &wire{baud: baud, split: split, more: make(chan struct{}, 1), over: make(chan struct{})}
}

func (w *wire) end(err error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.err == nil {
		w.err = err
		close(w.over)
	}
}

func (w *wire) write(p []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.err != nil {
		return 0, fmt.Errorf("cable: %w", link.ErrGone)
	}
	for _, b := range p {
		w.send(b)
	}
	select {
	case w.more <- struct{}{}:
	default:
	}
	return len(p), nil
}

// send puts one byte on the wire, or what the faults make of it.
func (w *wire) send(b byte) {
	sent := []byte{b}
	var late time.Duration
	if w.noise != nil {
		sent = w.noise(b)
	}
	for _, f := range w.faults {
		if f.at == w.count {
			sent, late = f.spoil(sent), late+f.late
		}
	}
	w.count++
	if now := time.Now(); w.last.Before(now) {
		w.last = now
	}
	w.last = w.last.Add(late)
	for _, b := range sent {
		if w.baud > 0 {
			w.last = w.last.Add(bitsPerByte * time.Second / time.Duration(w.baud))
		}
		w.queue = append(w.queue, arriving{b, w.last})
	}
}

func (w *wire) read(p []byte) (int, error) {
	for {
		w.mu.Lock()
		n, wait, err := w.take(p)
		w.mu.Unlock()
		if n > 0 || err != nil {
			return n, err
		}
		var due <-chan time.Time
		if wait > 0 {
			timer := time.NewTimer(wait)
			defer timer.Stop()
			due = timer.C
		}
		select {
		case <-due:
		case <-w.more:
		case <-w.over:
		}
	}
}

// take takes what has arrived, or says how long the first byte will take.
func (w *wire) take(p []byte) (n int, wait time.Duration, err error) {
	if w.err != nil {
		return 0, 0, w.err
	}
	now := time.Now()
	for n < len(p) && len(w.queue) > 0 && !w.queue[0].at.After(now) {
		p[n] = w.queue[0].value
		w.queue = w.queue[1:]
		n++
		if w.split {
			return n, 0, nil
		}
	}
	if n == 0 && len(w.queue) > 0 {
		wait = w.queue[0].at.Sub(now)
	}
	return n, wait, nil
}
