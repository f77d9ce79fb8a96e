package link

import (
	"context"
	"errors"
	"io"
	"net"
	"os"
	"testing"
	"time"

	"bayhand/simulators/leaks"
	"bayhand/simulators/loopback"
)

func TestMain(m *testing.M) { leaks.TestMain(m) }

func mustOpen(t *testing.T, address string) Link {
	t.Helper()
	l, err := Open(t.Context(), address, Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := l.Close(); err != nil {
			t.Errorf("%s: closing: %v", address, err)
		}
	})
	return l
}

// far is the other end of a link.
type far interface {
	io.ReadWriter
	SetReadDeadline(time.Time) error
}

// exchange sends every byte there is both ways, more of them than one read
// takes.
func exchange(t *testing.T, near, other far) {
	t.Helper()
	var all []byte
	for round := range 3 {
		for b := range 256 {
			all = append(all, byte(b+round))
		}
	}
	for name, ends := range map[string][2]far{"out": {near, other}, "in": {other, near}} {
		if _, err := ends[0].Write(all); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if err := ends[1].SetReadDeadline(time.Now().Add(30 * time.Second)); err != nil {
			t.Fatal(err)
		}
		got := make([]byte, len(all))
		if _, err := io.ReadFull(ends[1], got); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if string(got) != string(all) {
			t.Errorf("%s: bytes changed on the way", name)
		}
	}
}

// deadline sees to it that a read ends at its deadline, and a later one works.
func deadline(t *testing.T, l Link) {
	t.Helper()
	if err := l.SetReadDeadline(time.Now().Add(20 * time.Millisecond)); err != nil {
		t.Fatal(err)
	}
	if n, err := l.Read(make([]byte, 10)); n != 0 || !errors.Is(err, os.ErrDeadlineExceeded) {
		t.Errorf("a read past its deadline gave %d, %v", n, err)
	}
	if err := l.SetReadDeadline(time.Time{}); err != nil {
		t.Fatal(err)
	}
}

// closing sees to it that Close ends a read that waits.
func closing(t *testing.T, l Link) {
	t.Helper()
	// A deadline of before is not what ends the read.
	if err := l.SetReadDeadline(time.Time{}); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() {
		_, err := l.Read(make([]byte, 10))
		ended <- err
	}()
	if err := l.Close(); err != nil {
		t.Error(err)
	}
	select {
	case err := <-ended:
		if !errors.Is(err, os.ErrClosed) || errors.Is(err, ErrGone) {
			t.Errorf("the read that waited ended with %v", err)
		}
	case <-time.After(30 * time.Second):
		t.Error("the read that waited did not end")
	}
	if _, err := l.Write([]byte("x")); !errors.Is(err, os.ErrClosed) {
		t.Errorf("a write after Close gave %v", err)
	}
	if _, err := l.Read(make([]byte, 1)); !errors.Is(err, os.ErrClosed) {
		t.Errorf("a read after Close gave %v", err)
	}
}

// gone sees to it that the pulled link says so, reading and writing.
func gone(t *testing.T, l Link) {
	t.Helper()
	if err := l.SetReadDeadline(time.Now().Add(30 * time.Second)); err != nil {
		t.Fatal(err)
	}
	if n, err := l.Read(make([]byte, 10)); n != 0 || !errors.Is(err, ErrGone) {
		t.Errorf("a read of a pulled link gave %d, %v", n, err)
	}
}

func listen(t *testing.T) (address string, accept func() net.Conn) {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { listener.Close() })
	return "tcp:" + listener.Addr().String(), func() net.Conn {
		conn, err := listener.Accept()
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { conn.Close() })
		return conn
	}
}

func TestTCP(t *testing.T) {
	address, accept := listen(t)
	l := mustOpen(t, address)
	peer := accept()
	if l.String() != address {
		t.Errorf("%s says that it is %s", address, l)
	}
	exchange(t, l, peer)
	deadline(t, l)
	exchange(t, l, peer)
	closing(t, l)

	l = mustOpen(t, address)
	accept().Close()
	gone(t, l)
}

func TestTCPNobody(t *testing.T) {
	address, err := loopback.Free()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Open(t.Context(), "tcp:"+address, Options{}); err == nil {
		t.Error("a port where nobody listens was opened")
	}
}

// A write that nobody takes ends at its deadline.
func TestTCPFull(t *testing.T) {
	address, accept := listen(t)
	l := mustOpen(t, address)
	accept()
	if err := l.SetWriteDeadline(time.Now().Add(100 * time.Millisecond)); err != nil {
		t.Fatal(err)
	}
	for {
		_, err := l.Write(make([]byte, 1<<20))
		if errors.Is(err, os.ErrDeadlineExceeded) {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

func TestOpenIsCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	address, _ := listen(t)
	if _, err := Open(ctx, address, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled opening gave %v", err)
	}
}
