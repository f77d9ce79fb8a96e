package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"golang.org/x/sys/unix"

	"bayhand/recall/border"
	"bayhand/recall/keep"
)

// namespaces are network namespaces, one a host, each on a cable of its own to a hub, which
// is one as well: a cable to the network of this machine would stop what browsers load,
// which other tests have.
type namespaces struct {
	*testing.T
	prefix string
	made   int
}

// hub makes the namespace to which all cables lead.
func (n *namespaces) hub() {
	n.Helper()
	n.Cleanup(func() { _ = exec.Command("ip", "netns", "del", n.prefix+"hub").Run() })
	if out, err := exec.Command("ip", "netns", "add", n.prefix+"hub").CombinedOutput(); err != nil {
		n.Skipf("no network namespaces here: %v: %s", err, out)
	}
}

// way is one that begins at an address of the hub, and leads to one of this machine.
func (n *namespaces) way(at, to string) (w *way) {
	n.Helper()
	within, err := os.Open("/run/netns/" + n.prefix + "hub")
	if err != nil {
		n.Fatal(err)
	}
	defer within.Close()
	made := make(chan error)
	go func() {
		runtime.LockOSThread() // and the thread ends with this, wherever it is
		err := unix.Setns(int(within.Fd()), unix.CLONE_NEWNET)
		if err == nil {
			w, err = listenWay(at, to) // a socket stays in the network in which it was made
		}
		made <- err
	}()
	if err := <-made; err != nil {
		n.Fatal(err)
	}
	w.runs(n.T)
	return w
}

// add makes one, and gives the address here and the one inside.
func (n *namespaces) add(room string) (here, inside string) {
	n.Helper()
	net := fmt.Sprintf("10.231.%d", os.Getpid()%250+n.made)
	n.made++
	space, near, far := n.prefix+room, n.prefix+room+"0", n.prefix+room+"1"
	n.Cleanup(func() { _ = exec.Command("ip", "netns", "del", space).Run() })
	here, inside = net+".1", net+".2"
	for _, line := range []string{
		"ip netns add " + space,
		"ip -n " + n.prefix + "hub link add " + near + " type veth peer name " + far + " netns " + space,
		"ip -n " + n.prefix + "hub addr add " + here + "/24 dev " + near,
		"ip -n " + n.prefix + "hub link set " + near + " up",
		"ip -n " + space + " addr add " + inside + "/24 dev " + far,
		"ip -n " + space + " link set " + far + " up",
		"ip -n " + space + " link set lo up",
	} {
		if out, err := exec.Command("ip", strings.Fields(line)[1:]...).CombinedOutput(); err != nil {
			n.Skipf("no network namespaces here: %s: %v: %s", line, err, out)
		}
	}
	return here, inside
}

// cable pulls a host's cable, or puts it back: packets are lost, and nobody is told.
func (n *namespaces) cable(room string, in bool) {
	n.Helper()
	to := map[bool]string{true: "up", false: "down"}[in]
	if out, err := exec.Command("ip", "-n", n.prefix+room, "link", "set", n.prefix+room+"1", to).CombinedOutput(); err != nil {
		n.Fatalf("%v: %s", err, out)
	}
}

// in runs bayhand in a host's namespace, and returns what it prints.
func (n *namespaces) in(h *hosts, room string, args ...string) (string, error) {
	c := exec.Command("ip", append([]string{"netns", "exec", n.prefix + room, h.at("bayhand")}, args...)...)
	c.Args = append(c.Args, "--state", h.at(room, "state"), "--studio", h.at(room, "studio.yaml"))
	out, err := c.CombinedOutput()
	return string(out), err
}

// says waits until the status of a host in its namespace is so.
func (n *namespaces) says(h *hosts, room, what string, is func(keep.Status) bool) {
	n.Helper()
	h.until(room+" "+what, func() bool {
		out, err := n.in(h, room, "cords", "--json")
		var s keep.Status
		return err == nil && json.Unmarshal([]byte(out), &s) == nil && is(s)
	})
}

// Two hosts in network namespaces of their own: when the cable of one is pulled, its
// packets are lost and no connection ends. It goes on in its own room, is given no shared
// line, and gets one when the cable is back, all agreeing then.
func TestHostsInNamespaces(t *testing.T) {
	if os.Getuid() != 0 {
		t.Skip("only root makes network namespaces")
	}
	peer(t, "ip")
	t.Parallel()
	n := &namespaces{T: t, prefix: fmt.Sprintf("bh%d", os.Getpid()%100000)}
	h := atTable(t, 1, 22)
	h.rooms = []string{"a", "b"}
	n.hub()
	for _, room := range h.rooms {
		here, _ := n.add(room)
		one := &oneHost{room: room, ways: []*way{n.way(here+":0", h.servers[0].client)}}
		h.all = append(h.all, one)
		h.write(one, h.roomFiles(one))
		daemon := exec.Command("ip", "netns", "exec", n.prefix+room, h.at("bayhand"), "daemon", "--http", "127.0.0.1:0", "--studio", h.at(room, "studio.yaml"),
			"--state", h.at(room, "state"), "--house", h.at(room, "house.yaml"), "--house-host", room)
		if err := daemon.Start(); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = daemon.Process.Kill(); _ = daemon.Wait() })
		h.until(room+" answers", func() bool {
			_, err := os.Stat(filepath.Join(h.at(room, "state"), "daemon.json"))
			return err == nil
		})
		n.says(h, room, "reaches the table", func(s keep.Status) bool { return !slices.ContainsFunc(s.Problems, isCutOff) })
	}
	if out, err := n.in(h, "a", "recall", "tape-1"); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	n.cable("b", false)
	n.says(h, "b", "is cut off", func(s keep.Status) bool { return slices.ContainsFunc(s.Problems, isCutOff) })
	if out, err := n.in(h, "b", "recall", "desk-b"); err != nil {
		t.Errorf("its own room: %v: %s", err, out)
	}
	if out, err := n.in(h, "b", "recall", "tape-2"); err == nil {
		t.Errorf("a shared line without the table: %s", out)
	}
	n.cable("b", true)
	n.says(h, "b", "reaches the table again", func(s keep.Status) bool { return !slices.ContainsFunc(s.Problems, isCutOff) })
	h.until("b is told what a holds", func() bool {
		out, err := n.in(h, "b", "recall", "tape-1")
		if err == nil {
			t.Fatalf("b is given what a holds: %s", out)
		}
		return strings.Contains(out, "room a holds tape-1")
	})
	h.until("b is given tape-2", func() bool { _, err := n.in(h, "b", "recall", "tape-2"); return err == nil })
	view, err := h.table.View(t.Context())
	if err != nil || view.Table.Holds[border.Place("tape-1")].Room != "a" || view.Table.Holds["tape-2"].Room != "b" {
		t.Errorf("the table has %v (%v)", view.Table.Holds, err)
	}
}

func isCutOff(p keep.Problem) bool { return p.Code == "house-cut" }
