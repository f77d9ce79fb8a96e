package link

import (
	"bytes"
	"context"
	"errors"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
	"golang.org/x/term"
)

// served is a serial line behind a server of others.
func served(t *testing.T, options ...string) (device *os.File, address string) {
	t.Helper()
	device, line, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { device.Close(); line.Close() })
	if _, err := term.MakeRaw(int(line.Fd())); err != nil {
		t.Fatal(err)
	}
	return device, "rfc2217:" + ser2net(t, "telnet(rfc2217)", line.Name(), options...)
}

// A server with one client refuses a second in words of its own, which are shown; the
// first goes on.
func TestSecondClientIsRefused(t *testing.T) {
	device, address := served(t)
	first, err := openSoon(t, address+"?clients=one")
	if err != nil {
		t.Fatal(err)
	}
	defer first.Close()
	second, err := Open(t.Context(), address, Options{Timeout: time.Minute})
	if err == nil {
		second.Close()
		t.Fatal("two hosts are at one line")
	}
	if !strings.Contains(err.Error(), `the server says "Port already in use" and ends the connection`) {
		t.Errorf("the second is told: %v", err)
	}
	if _, err := first.Write([]byte("still here")); err != nil {
		t.Error(err)
	}
	if got := readAll(t, device, 10); string(got) != "still here" {
		t.Errorf("the device received %q", got)
	}
}

// A server whose newest client ends the one before: from the first byte of the new host
// on, none of the old one comes, however busily that writes.
func TestNewestClientEndsTheOld(t *testing.T) {
	device, address := served(t, "kickolduser: true")
	recorder := make(chan []byte)
	go func() {
		var all []byte
		for p := make([]byte, 4096); !bytes.Contains(all, []byte("END")); {
			n, err := device.Read(p)
			all = append(all, p[:n]...)
			if err != nil {
				break
			}
		}
		recorder <- all
	}()
	old, err := openSoon(t, address)
	if err != nil {
		t.Fatal(err)
	}
	owners := []string{"a", "b", "c", "d"}
	for _, next := range owners[1:] {
		old = takeOver(t, address, old, next[0]-1, next[0])
	}
	if _, err := old.Write([]byte("END")); err != nil {
		t.Fatal(err)
	}
	got := <-recorder
	old.Close()
	inOrder(t, string(got[:max(0, len(got)-3)]), owners)
}

// takeOver opens the line for another host while the old one writes as fast as it can, and
// returns the new link, over which a byte went. Bytes are tagged with their host.
func takeOver(t *testing.T, address string, old Link, was, next byte) Link {
	t.Helper()
	var busy sync.WaitGroup
	wrote := make(chan struct{})
	busy.Go(func() {
		defer old.Close()
		for n := 0; ; n++ {
			if _, err := old.Write([]byte{was}); err != nil {
				if !errors.Is(err, ErrGone) {
					t.Errorf("the old host is told: %v", err)
				}
				return
			}
			if n == 10 {
				close(wrote)
			}
		}
	})
	<-wrote
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
	defer stop()
	fresh, err := Open(ctx, address, Options{Timeout: time.Minute})
	if err != nil {
		t.Fatal(err)
	}
	for range 20 {
		if _, err := fresh.Write([]byte{next}); err != nil {
			t.Fatal(err)
		}
	}
	busy.Wait() // its connection is ended, or it would write for ever
	return fresh
}

// inOrder fails where a byte of an older owner comes after one of a newer.
func inOrder(t *testing.T, all string, owners []string) {
	t.Helper()
	at := 0
	for _, b := range all {
		i := strings.IndexRune(strings.Join(owners, ""), b)
		if i < at {
			t.Fatalf("a byte of %q comes after one of %q", b, owners[at])
		}
		at = i
	}
	if at != len(owners)-1 {
		t.Errorf("the last owner heard is %q", owners[at])
	}
}
