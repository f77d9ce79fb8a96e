package main

import (
	"context"
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bayhand/simulators/loopback"
)

// tableServer is one server of the table, as a process.
type tableServer struct {
	args    []string
	client  string
	process *exec.Cmd
}

// tableServers starts one server, or three. More are arguments that all get.
func tableServers(t testing.TB, scheme string, count int, more ...string) []*tableServer {
	t.Helper()
	peer(t, "etcd")
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

func (s *tableServer) start(t testing.TB) {
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
