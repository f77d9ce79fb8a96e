package main

import (
	"context"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"bayhand/simulators/loopback"
)

// way is how a host reaches a server of the table: it can be cut, on both sides or so
// that requests arrive and answers do not.
type way struct {
	to       string
	listener net.Listener
	// mu guards the fields below.
	mu    sync.Mutex
	state wayState
	open  map[net.Conn]bool
}

type wayState int

const (
	whole wayState = iota
	cut
	deaf
)

func newWay(t *testing.T, to string) *way {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	w := &way{to: to, listener: l, open: map[net.Conn]bool{}}
	var all sync.WaitGroup
	all.Go(func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			all.Go(func() { w.carry(c) })
		}
	})
	t.Cleanup(func() {
		_ = l.Close()
		w.set(cut)
		all.Wait()
	})
	return w
}

// set changes what gets through. What was open before is not: bytes of it may be missing.
func (w *way) set(s wayState) {
	w.mu.Lock()
	defer w.mu.Unlock()
	was := w.state
	w.state = s
	if s == cut || was == deaf {
		for c := range w.open {
			_ = c.Close()
		}
	}
}

func (w *way) is() wayState {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.state
}

func (w *way) keep(c net.Conn, open bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if open {
		w.open[c] = true
		return
	}
	delete(w.open, c)
	_ = c.Close()
}

func (w *way) carry(near net.Conn) {
	w.keep(near, true)
	defer w.keep(near, false)
	if w.is() == cut {
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
		p := make([]byte, 1<<16)
		for {
			n, err := far.Read(p)
			if w.is() != deaf {
				_, _ = near.Write(p[:n])
			}
			if err != nil {
				return
			}
		}
	})
	_, _ = io.Copy(far, near)
	w.keep(far, false)
	back.Wait()
}

// tableServer is one server of the table, as a process.
type tableServer struct {
	args    []string
	client  string
	process *exec.Cmd
}

// tableServers starts one server, or three. More are arguments that all get.
func tableServers(t *testing.T, scheme string, count int, more ...string) []*tableServer {
	t.Helper()
	if _, err := exec.LookPath("etcd"); err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatal("etcd is missing")
		}
		t.Skip("etcd is missing")
	}
	var all []*tableServer
	var peers []string
	folder := t.TempDir()
	for i := range count {
		client, err := loopback.Free()
		if err != nil {
			t.Fatal(err)
		}
		peer, err := loopback.Free()
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprint("server-", i)
		peers = append(peers, name+"=http://"+peer)
		all = append(all, &tableServer{client: client, args: append([]string{"--name", name, "--data-dir", filepath.Join(folder, name),
			"--listen-client-urls", scheme + "://" + client, "--advertise-client-urls", scheme + "://" + client,
			"--listen-peer-urls", "http://" + peer, "--initial-advertise-peer-urls", "http://" + peer,
			"--heartbeat-interval", "50", "--election-timeout", "500"}, more...)})
	}
	for _, s := range all {
		s.args = append(s.args, "--initial-cluster", strings.Join(peers, ","))
		s.start(t)
		t.Cleanup(s.kill)
	}
	return all
}

func (s *tableServer) start(t *testing.T) {
	t.Helper()
	s.process = exec.CommandContext(context.Background(), "etcd", s.args...)
	if err := s.process.Start(); err != nil {
		t.Fatal(err)
	}
}

// kill ends a server as a power cut does.
func (s *tableServer) kill() {
	_ = s.process.Process.Kill()
	_ = s.process.Wait()
}
