package link

import (
	"os"
	"slices"
	"time"
)

// Write hands the bytes to the writer and waits until they are out, or for the
// deadline. After a deadline the writer may still be at it; the next Write
// waits for it first.
func (l *serialLink) Write(p []byte) (int, error) {
	if l.isClosing() {
		return 0, ended(l.address, os.ErrClosed, true)
	}
	expired, stop := l.expiry()
	defer stop()
	select {
	case l.busy <- struct{}{}:
	case <-expired:
		return 0, ended(l.address, os.ErrDeadlineExceeded, false)
	case <-l.closing:
		return 0, ended(l.address, os.ErrClosed, true)
	}
	select {
	case <-l.done: // how an earlier one ended that nobody waited for
	default:
	}
	select {
	case l.work <- slices.Clone(p):
	case <-l.gone:
		return 0, ended(l.address, os.ErrClosed, true)
	}
	select {
	case result := <-l.done:
		return result.n, ended(l.address, result.err, l.isClosing())
	case <-expired:
		return 0, ended(l.address, os.ErrDeadlineExceeded, false)
	case <-l.closing:
		return 0, ended(l.address, os.ErrClosed, true)
	}
}

// expiry is a channel that is closed at the write deadline, or never.
func (l *serialLink) expiry() (<-chan time.Time, func()) {
	by := l.writeBy.Load()
	if by == nil {
		return nil, func() {}
	}
	timer := time.NewTimer(time.Until(*by))
	return timer.C, func() { timer.Stop() }
}

// write is the writer: the only one who writes to the port.
func (l *serialLink) write() {
	defer close(l.gone)
	for {
		select {
		case p := <-l.work:
			l.done <- l.writeAll(p)
			<-l.busy
		case <-l.closing:
			return
		}
	}
}

// mouthful is how many bytes are handed to the driver at once, so that no more
// than that has to be thrown away before a blocked writer hears of Close.
const mouthful = 256

func (l *serialLink) writeAll(p []byte) written {
	sum := 0
	for sum < len(p) && !l.isClosing() {
		n, err := l.port.Write(p[sum:min(len(p), sum+mouthful)])
		sum += n
		if err != nil {
			return written{sum, err}
		}
	}
	if sum < len(p) {
		return written{sum, os.ErrClosed}
	}
	return written{sum, nil}
}

// farewell is how long Close tries to free a writer that a silent far end
// holds up.
const farewell = time.Second

// Close waits until reader and writer are out, then lets go of the line. It
// takes at most about a second, and less than a slice where the line flows.
func (l *serialLink) Close() error {
	l.once.Do(func() {
		close(l.closing)
		l.freeWriter()
		l.reading.Lock()
		defer l.reading.Unlock()
		l.closeErr = l.port.Close()
	})
	return l.closeErr
}

// freeWriter throws away what waits to go out, which wakes a blocked writer,
// until the writer has ended.
func (l *serialLink) freeWriter() {
	again := time.NewTicker(5 * time.Millisecond)
	defer again.Stop()
	deadline := time.NewTimer(farewell)
	defer deadline.Stop()
	for {
		select {
		case <-l.gone:
			return
		case <-again.C:
			// Setting the mode anew wakes writers where throwing away does not, as
			// on a pseudo-terminal (Linux). An error here is a line that is gone,
			// and then the writer is free.
			_ = l.port.ResetOutputBuffer()
			_ = l.port.SetMode(l.mode)
		case <-deadline.C:
			return
		}
	}
}
