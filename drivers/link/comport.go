package link

import (
	"fmt"
	"os"
	"time"
)

// Read gives data only; what the far end commands is done on the way.
func (c *comPort) Read(p []byte) (int, error) {
	for len(c.data) == 0 {
		if c.refused != nil {
			return 0, fmt.Errorf("%s: %w (%w)", c.under.address, ErrGone, c.refused)
		}
		if err := c.receive(); err != nil && len(c.data) == 0 {
			return 0, ended(c.under.address, err, c.under.closed.Load())
		}
	}
	n := copy(p, c.data)
	c.data = c.data[n:]
	return n, nil
}

// Write waits while the far end asks for no more, up to the deadline.
func (c *comPort) Write(p []byte) (int, error) {
	if err := c.waitHeld(); err != nil {
		return 0, ended(c.under.address, err, c.under.closed.Load())
	}
	n, err := c.under.Write(telnetData(p))
	return dataWritten(p, n), err
}

// dataWritten is how much of the data went out in so many bytes of the stream.
func dataWritten(p []byte, sent int) int {
	for i, b := range p {
		sent--
		if b == telnetIAC {
			sent--
		}
		if sent < 0 {
			return i
		}
	}
	return len(p)
}

// hold stops what is written, or lets it go on.
func (c *comPort) hold(stop bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch {
	case stop && c.held == nil:
		c.held = make(chan struct{})
	case !stop && c.held != nil:
		close(c.held)
		c.held = nil
	}
}

// waitHeld waits until bytes may be written.
func (c *comPort) waitHeld() error {
	c.mu.Lock()
	held, by := c.held, c.writeBy
	c.mu.Unlock()
	if held == nil {
		return nil
	}
	var over <-chan time.Time
	if !by.IsZero() {
		timer := time.NewTimer(time.Until(by))
		defer timer.Stop()
		over = timer.C
	}
	select {
	case <-held:
		return nil
	case <-c.closing:
		return os.ErrClosed
	case <-over:
		return os.ErrDeadlineExceeded
	}
}

// SetWriteDeadline bounds the waiting for the far end as well.
func (c *comPort) SetWriteDeadline(t time.Time) error {
	c.mu.Lock()
	c.writeBy = t
	c.mu.Unlock()
	return c.under.SetWriteDeadline(t)
}

// SetReadDeadline bounds the waiting for bytes.
func (c *comPort) SetReadDeadline(t time.Time) error { return c.under.SetReadDeadline(t) }

// Baud is the rate that was asked for.
func (c *comPort) Baud() int { return c.under.Baud() }

func (c *comPort) String() string { return c.under.String() }

// Close ends what waits.
func (c *comPort) Close() error {
	c.once.Do(func() { close(c.closing) })
	return c.under.Close()
}
