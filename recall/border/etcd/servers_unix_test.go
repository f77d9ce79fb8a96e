//go:build unix

package etcd

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"bayhand/simulators/loopback"
)

// cluster is some real servers on the loopback, each with a folder of its own, which
// end with the test.
type cluster struct {
	t       testing.TB
	program string
	folder  string
	members []*member
}

type member struct {
	name, client, peer string
	process            *exec.Cmd
	ended              chan struct{}
}

// peer finds a program of others that a test needs.
func peer(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatalf("%s is missing", name)
		}
		t.Skipf("%s is missing", name)
	}
	return path
}

// ports are some that are free now.
func ports(t testing.TB, count int) []string {
	t.Helper()
	var all []string
	for range count {
		address, err := loopback.Free()
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, address)
	}
	return all
}

// begin starts a cluster.
func begin(t testing.TB, size int) *cluster {
	t.Helper()
	c := &cluster{t: t, program: peer(t, "etcd"), folder: t.TempDir()}
	free := ports(t, 2*size)
	for i := range size {
		c.members = append(c.members, &member{name: fmt.Sprint("m", i), client: "http://" + free[2*i], peer: "http://" + free[2*i+1]})
	}
	for _, m := range c.members {
		c.start(m)
	}
	t.Cleanup(func() {
		for _, m := range c.members {
			c.kill(m)
		}
	})
	return c
}

func (c *cluster) servers() []string {
	var all []string
	for _, m := range c.members {
		all = append(all, m.client)
	}
	return all
}

// start begins a member, or has it go on with what it had on disk.
func (c *cluster) start(m *member) {
	c.t.Helper()
	var peers []string
	for _, m := range c.members {
		peers = append(peers, m.name+"="+m.peer)
	}
	m.process = exec.Command(c.program, "--name", m.name, "--data-dir", filepath.Join(c.folder, m.name),
		"--listen-client-urls", m.client, "--advertise-client-urls", m.client,
		"--listen-peer-urls", m.peer, "--initial-advertise-peer-urls", m.peer,
		"--initial-cluster", strings.Join(peers, ","), "--initial-cluster-token", c.folder,
		"--heartbeat-interval", "50", "--election-timeout", "500")
	if err := m.process.Start(); err != nil {
		c.t.Fatal(err)
	}
	process, ended := m.process, make(chan struct{})
	m.ended = ended
	go func() { _ = process.Wait(); close(ended) }()
}

// kill ends a member as a power cut does.
func (c *cluster) kill(m *member) {
	_ = m.process.Process.Kill()
	<-m.ended
}

func (c *cluster) signal(m *member, s syscall.Signal) {
	if err := m.process.Process.Signal(s); err != nil {
		c.t.Error(err)
	}
}

// leader is the place among the members of the one that leads, once there is one.
func (c *cluster) leader() int {
	c.t.Helper()
	for c.t.Context().Err() == nil {
		for i, m := range c.members {
			if a, err := statusOf(m.client); err == nil && a.Leader != "" && a.Leader == a.Header.Member {
				return i
			}
		}
	}
	c.t.Fatal("no leader")
	return 0
}

type memberStatus struct {
	Header struct {
		Member string `json:"member_id"`
	} `json:"header"`
	Leader string `json:"leader"`
}

func statusOf(client string) (a memberStatus, _ error) {
	response, err := http.Post(client+statusPath, "application/json", strings.NewReader("{}"))
	if err != nil {
		return a, err
	}
	defer response.Body.Close()
	return a, json.NewDecoder(response.Body).Decode(&a)
}
