package ports

import (
	"errors"
	"strings"
	"sync"
	"testing"
	"testing/synctest"

	"gitlab.com/gomidi/midi/v2/drivers"
)

// wrapped is a driver of the system as its wrapper is: a port that is gone is no
// longer listed, and that is all that anybody hears of it.
type wrapped struct {
	mu     sync.Mutex
	pulled bool
	sent   int
	open   error
}

func (w *wrapped) String() string { return "wrapped" }
func (w *wrapped) Close() error   { return nil }

func (w *wrapped) Ins() ([]drivers.In, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.pulled {
		return nil, nil
	}
	return []drivers.In{&wrappedPort{of: w}}, nil
}

func (w *wrapped) Outs() ([]drivers.Out, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.pulled {
		return nil, nil
	}
	return []drivers.Out{&wrappedPort{of: w}}, nil
}

func (w *wrapped) pull() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.pulled = true
}

type wrappedPort struct {
	of   *wrapped
	open bool
}

func (p *wrappedPort) Open() error       { p.open = p.of.open == nil; return p.of.open }
func (p *wrappedPort) Close() error      { p.open = false; return nil }
func (p *wrappedPort) IsOpen() bool      { return p.open }
func (p *wrappedPort) Number() int       { return 0 }
func (p *wrappedPort) String() string    { return "Interface 24:0" }
func (p *wrappedPort) Underlying() any   { return nil }
func (p *wrappedPort) Send([]byte) error { p.of.sent++; return nil }

func (p *wrappedPort) Listen(func([]byte, int32), drivers.ListenConfig) (func(), error) {
	return func() {}, nil
}

func system(w *wrapped) System {
	return System{Driver: w, listen: func(in drivers.In, hear func([]byte, int32), c drivers.ListenConfig) (func(), error) {
		return in.Listen(hear, c)
	}}
}

func TestSystemPortIsPulled(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wrapped{}
		ins, err := system(w).Ins()
		if err != nil || len(ins) != 1 {
			t.Fatal(ins, err)
		}
		outs, err := system(w).Outs()
		if err != nil || len(outs) != 1 {
			t.Fatal(outs, err)
		}
		if err := errors.Join(ins[0].Open(), outs[0].Open()); err != nil {
			t.Fatal(err)
		}
		gone := make(chan error, 1)
		stop, err := ins[0].Listen(func([]byte, int32) {}, drivers.ListenConfig{OnErr: func(err error) { gone <- err }})
		if err != nil {
			t.Fatal(err)
		}
		if err := outs[0].Send([]byte("\xC2\x04")); err != nil || w.sent != 1 {
			t.Errorf("%d sent, %v", w.sent, err)
		}
		if err := outs[0].Send(make([]byte, longestSend+1)); err == nil || w.sent != 1 {
			t.Errorf("what is too long to arrive was sent: %v", err)
		}
		w.pull()
		if err := <-gone; !errors.Is(err, ErrGone) {
			t.Errorf("it was told %v", err)
		}
		synctest.Wait()
		if err := outs[0].Send([]byte("\xC2\x04")); !errors.Is(err, ErrGone) || w.sent != 1 {
			t.Errorf("a send to a port that is gone: %v", err)
		}
		stop()
		if err := errors.Join(ins[0].Close(), outs[0].Close()); err != nil {
			t.Error(err)
		}
	})
}

// The text of the wrapper's errors may be any bytes.
func TestSystemErrorsCanBeShown(t *testing.T) {
	outs, err := system(&wrapped{open: errors.New("cannot open \x1b[2J\xF0\x9F")}).Outs()
	if err != nil {
		t.Fatal(err)
	}
	if err := outs[0].Open(); err == nil || strings.Contains(err.Error(), "\x1b") || strings.Contains(err.Error(), "\xF0") || !strings.Contains(err.Error(), "cannot open") {
		t.Errorf("%q", err)
	}
}
