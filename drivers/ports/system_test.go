package ports

import (
	"errors"
	"io"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"
)

// quiet is a system whose one port is no longer listed when it is pulled, and
// that is all that anybody hears of it.
type quiet struct {
	mu     sync.Mutex
	pulled bool
	sent   []string
	open   error
	to     *receiver
}

var onlyPort = endpoint{name: "Interface", id: "24:0"}

func (q *quiet) looksEvery() time.Duration { return time.Second }

func (q *quiet) list() (ins, outs []endpoint, err error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.pulled {
		return nil, nil, nil
	}
	return []endpoint{onlyPort}, []endpoint{onlyPort}, nil
}

func (q *quiet) openIn(_ endpoint, r *receiver) (io.Closer, error) { q.to = r; return q, q.open }
func (q *quiet) openOut(endpoint) (sender, error)                  { return q, q.open }
func (q *quiet) Close() error                                      { return nil }

func (q *quiet) send(message []byte, deadline time.Time) error {
	if !deadline.IsZero() && !time.Now().Before(deadline) {
		return os.ErrDeadlineExceeded
	}
	q.sent = append(q.sent, string(message))
	return nil
}

func (q *quiet) pull() {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.pulled = true
}

// both are the port to hear and the one to send to.
func both(t *testing.T, q *quiet) (drivers.In, drivers.Out) {
	t.Helper()
	ins, err := System{of: q}.Ins()
	if err != nil || len(ins) != 1 {
		t.Fatal(ins, err)
	}
	outs, err := System{of: q}.Outs()
	if err != nil || len(outs) != 1 {
		t.Fatal(outs, err)
	}
	if err := errors.Join(ins[0].Open(), outs[0].Open()); err != nil {
		t.Fatal(err)
	}
	return ins[0], outs[0]
}

func TestSystemPortIsPulled(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		q := &quiet{}
		in, out := both(t, q)
		gone := make(chan error, 1)
		stop, err := in.Listen(func([]byte, int32) {}, drivers.ListenConfig{OnErr: func(err error) { gone <- err }})
		if err != nil {
			t.Fatal(err)
		}
		if err := out.Send([]byte("\xC2\x04")); err != nil || len(q.sent) != 1 {
			t.Errorf("%q was sent, %v", q.sent, err)
		}
		q.pull()
		if err := <-gone; !errors.Is(err, ErrGone) {
			t.Errorf("it was told %v", err)
		}
		synctest.Wait()
		if err := out.Send([]byte("\xC2\x04")); !errors.Is(err, ErrGone) || len(q.sent) != 1 {
			t.Errorf("a send to a port that is gone: %v", err)
		}
		stop()
		if _, err := in.Listen(func([]byte, int32) {}, drivers.ListenConfig{}); !errors.Is(err, ErrGone) {
			t.Errorf("a port that is gone can be listened to: %v", err)
		}
		if err := errors.Join(in.Close(), out.Close(), in.Close(), out.Close()); err != nil {
			t.Error(err)
		}
		if err := out.Send([]byte("\xC2\x04")); !errors.Is(err, drivers.ErrPortClosed) {
			t.Errorf("a send to a port that is closed: %v", err)
		}
	})
}

// MIDI 1.0: messages in pieces of any length, running status, a real-time byte in
// the midst of a system exclusive, and one that is too long for the listener.
func TestSystemPortIsHeard(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		q := &quiet{}
		in, out := both(t, q)
		q.to.bytes([]byte("\xC2\x07")) // nobody listens yet
		var heard []string
		stop, err := in.Listen(func(m []byte, _ int32) { heard = append(heard, string(m)) }, drivers.ListenConfig{SysEx: true, SysExBufferSize: 4})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := in.Listen(func([]byte, int32) {}, drivers.ListenConfig{}); err == nil {
			t.Error("two may listen to one port")
		}
		for _, piece := range []string{"\xB2\x00", "\x02\x20\x2C\xF0\x7D", "\xFA\x01\xF7", "\xF0\x7D\x01", "\x02\xF7"} {
			q.to.bytes([]byte(piece))
		}
		stop()
		q.to.bytes([]byte("\xC2\x07"))
		want := []string{"\xB2\x00\x02", "\xB2\x20\x2C", "\xFA", "\xF0\x7D\x01\xF7"}
		if !slices.Equal(heard, want) {
			t.Errorf("% X was heard, want % X", heard, want)
		}
		bounded := out.(interface{ SetWriteDeadline(time.Time) error })
		if err := errors.Join(bounded.SetWriteDeadline(time.Now())); err != nil {
			t.Fatal(err)
		}
		if err := out.Send([]byte("\xC2\x04")); !errors.Is(err, os.ErrDeadlineExceeded) {
			t.Errorf("a send after its deadline: %v", err)
		}
		if err := errors.Join(in.Close(), out.Close()); err != nil {
			t.Error(err)
		}
	})
}

// The text of a system's errors may be any bytes.
func TestSystemErrorsCanBeShown(t *testing.T) {
	outs, err := System{of: &quiet{open: errors.New("cannot open \x1b[2J\xF0\x9F")}}.Outs()
	if err != nil {
		t.Fatal(err)
	}
	if err := outs[0].Open(); err == nil || strings.Contains(err.Error(), "\x1b") || strings.Contains(err.Error(), "\xF0") || !strings.Contains(err.Error(), "cannot open") {
		t.Errorf("%q", err)
	}
}
