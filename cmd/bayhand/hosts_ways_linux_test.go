package main

import (
	"bytes"
	"net"
	"sync"
	"testing"
	"time"
)

// way is how a host reaches a server: it can be cut, on both sides or one, be slow, and
// keep what is on it for later.
type way struct {
	to       string
	listener net.Listener
	// mu guards the fields below.
	mu      sync.Mutex
	state   wayState
	changed chan struct{} // closed at the next change
	open    map[net.Conn]bool
	// keeps gets one token as soon as something is kept.
	keeps chan struct{}
	// lost is called as an answer is to be lost, by a losing way.
	lost func()
}

type wayState int

const (
	whole wayState = iota
	// cut has nothing through, and ends what was open.
	cut
	// deaf has requests through, and no answers.
	deaf
	// mute has no requests through.
	mute
	// slow has each piece late.
	slow
	// held keeps requests until the state changes, and then has them through.
	held
	// losing has all through until lines are given back, whose answer is lost on the way, and all
	// that comes after it.
	losing
)

// givesBack is what the servers are asked as lines are given back
// (https://etcd.io/docs/v3.5/dev-guide/api_grpc_gateway/).
var givesBack = []byte(`"request_delete_range"`)

// late is how late each piece is on a slow way.
const late = 200 * time.Millisecond

func newWay(t testing.TB, to string) *way {
	t.Helper()
	w, err := listenWay("127.0.0.1:0", to)
	if err != nil {
		t.Fatal(err)
	}
	w.runs(t)
	return w
}

// listenWay is a way that begins at an address.
func listenWay(at, to string) (*way, error) {
	l, err := net.Listen("tcp", at)
	return &way{to: to, listener: l, open: map[net.Conn]bool{}, changed: make(chan struct{}), keeps: make(chan struct{}, 1)}, err
}

// runs carries what comes until the test ends.
func (w *way) runs(t testing.TB) {
	var all sync.WaitGroup
	all.Go(func() {
		for {
			c, err := w.listener.Accept()
			if err != nil {
				return
			}
			all.Go(func() { w.carry(c) })
		}
	})
	t.Cleanup(func() {
		_ = w.listener.Close()
		w.set(cut)
		all.Wait()
	})
}

func (w *way) address() string { return w.listener.Addr().String() }

// set changes what gets through. What was open while something was lost is closed.
func (w *way) set(s wayState) {
	w.mu.Lock()
	defer w.mu.Unlock()
	was := w.state
	w.state = s
	close(w.changed)
	w.changed = make(chan struct{})
	if s == cut || was == deaf || was == mute {
		for c := range w.open {
			_ = c.Close()
		}
	}
}

// kept waits until something is kept.
func (w *way) kept(t testing.TB) {
	t.Helper()
	select {
	case <-w.keeps:
	case <-time.After(time.Minute):
		t.Fatal("nothing was sent to be kept")
	}
}

// is the state, and what is closed when it is another.
func (w *way) is() (wayState, <-chan struct{}) {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.state, w.changed
}

func (w *way) keep(c net.Conn, open bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if open && w.state != cut {
		w.open[c] = true
		return
	}
	delete(w.open, c)
	_ = c.Close()
}

func (w *way) carry(near net.Conn) {
	w.keep(near, true)
	defer w.keep(near, false)
	if s, _ := w.is(); s == cut {
		return
	}
	far, err := net.Dial("tcp", w.to)
	if err != nil {
		return
	}
	w.keep(far, true)
	var back sync.WaitGroup
	back.Go(func() {
		defer near.Close()
		w.pump(far, near, deaf)
	})
	w.pump(near, far, mute)
	w.keep(far, false)
	back.Wait()
}

// pump passes on what comes from one end, but in the state in which it is lost.
func (w *way) pump(from, to net.Conn, lost wayState) {
	p := make([]byte, 1<<16)
	for {
		n, err := from.Read(p)
		s, changed := w.is()
		switch {
		case s == held && lost == mute && n > 0:
			select {
			case w.keeps <- struct{}{}:
			default:
			}
			<-changed
		case s == slow:
			<-time.After(late)
		case s == losing && lost == mute && bytes.Contains(p[:n], givesBack):
			w.lost()
		}
		if s != lost && n > 0 {
			if _, err := to.Write(p[:n]); err != nil {
				return
			}
		}
		if err != nil {
			return
		}
	}
}
