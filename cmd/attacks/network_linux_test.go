package attacks_test

import (
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"bayhand/recall/serve"
)

// Another machine of the network asks for all that the API and the page have, with names,
// headers and a cookie that it should not have: nothing opens. A daemon that listens on
// this machine only does not answer it at all, and neither daemon listens anywhere else.
// The other machine is a network of its own (network_namespaces(7)) at the far end of a
// cable (veth(4)).
func TestAnotherMachineOfTheNetwork(t *testing.T) {
	here, inside := anotherMachine(t)
	r, alone := newRoom(t, "grid"), newRoom(t, "grid")
	r.address = "0.0.0.0:0"
	client := r.start()
	only := alone.start()
	for _, one := range []*room{r, alone} {
		if doors := one.listens(); len(doors) != 1 {
			t.Errorf("the daemon listens at %q", doors)
		}
	}
	reached := "http://" + net.JoinHostPort(here, portOf(t, client.Address()))
	s := stranger{
		Addresses: []string{reached}, Cookie: r.letIn(client),
		Closed: []string{net.JoinHostPort(here, portOf(t, only.Address())), strings.TrimPrefix(only.Address(), "http://")},
	}
	if opened := s.as(t, 0, inside...); opened != "" {
		t.Errorf("this opened:\n%s", opened)
	}
	status, err := client.Status(t.Context())
	if err != nil || status.Session != "" {
		t.Errorf("it is in %q, %v", status.Session, err)
	}
	// The same by a screen of that network that was let in opens: else nothing was proved.
	i, err := client.Invite(t.Context(), serve.InviteRequest{Role: serve.Recall, Who: "anna"})
	must(t, err)
	s.Cookie = accept(t, reached, i.Code)
	if opened := s.as(t, 0, inside...); !strings.Contains(opened, "200 OK") {
		t.Errorf("by a screen that was let in only this opened:\n%s", opened)
	}
	r.end(syscall.SIGTERM)
	alone.end(syscall.SIGTERM)
}

// anotherMachine is a network of its own until the test ends: the address by which it
// reaches this machine, and the command that runs a program in it. It takes root, and a
// system that lets root make one.
func anotherMachine(t *testing.T) (here string, inside []string) {
	t.Helper()
	if os.Geteuid() != 0 {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatal("only root can make another network; BAYHAND_PEERS=require asks for one")
		}
		t.Skip("only root can make another network")
	}
	ip, err := exec.LookPath("ip")
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatal(err)
		}
		t.Skip("ip is not on this machine")
	}
	// A network for trying devices (RFC 2544, appendix C.2.2), with a block of four
	// addresses for each process.
	block := 4 * (os.Getpid() % (1 << 14))
	address := func(n int) string { return fmt.Sprintf("198.18.%d.%d", (block+n)>>8, (block+n)&255) }
	name := fmt.Sprintf("bay%d", os.Getpid())
	near, far := name+"a", name+"b"
	if out, err := exec.Command(ip, "netns", "add", name).CombinedOutput(); err != nil {
		unlessForbidden(t, err, out)
	}
	t.Cleanup(func() { _ = exec.Command(ip, "netns", "delete", name).Run() }) // its end of the cable goes with it, and so does the other
	for _, args := range [][]string{
		{"link", "add", near, "type", "veth", "peer", "name", far, "netns", name},
		{"address", "add", address(1) + "/30", "dev", near},
		{"link", "set", near, "up"},
		{"-n", name, "address", "add", address(2) + "/30", "dev", far},
		{"-n", name, "link", "set", far, "up"},
		{"-n", name, "link", "set", "lo", "up"},
	} {
		if out, err := exec.Command(ip, args...).CombinedOutput(); err != nil {
			unlessForbidden(t, fmt.Errorf("ip %s: %w", strings.Join(args, " "), err), out)
		}
	}
	return address(1), []string{ip, "netns", "exec", name}
}

// unlessForbidden skips a test where the system forbids root another network, as a
// container may, and fails it where that went wrong in any other way.
func unlessForbidden(t *testing.T, err error, said []byte) {
	t.Helper()
	for _, no := range []string{syscall.EPERM.Error(), syscall.EACCES.Error(), syscall.EOPNOTSUPP.Error(), "unknown device type"} {
		if strings.Contains(strings.ToLower(string(said)), no) {
			t.Skipf("this system lets nobody make another network: %v: %s", err, said)
		}
	}
	t.Fatalf("%v: %s", err, said)
}

// listens are the addresses at which the daemon listens, as the system has them
// (proc(5), /proc/net/tcp: state 0A).
func (r *room) listens() (all []string) {
	r.t.Helper()
	own := map[string]bool{}
	files, err := filepath.Glob(fmt.Sprintf("/proc/%d/fd/*", r.daemon.Process.Pid))
	must(r.t, err)
	for _, file := range files {
		if to, err := os.Readlink(file); err == nil {
			own[to] = true
		}
	}
	for _, kind := range []string{"tcp", "tcp6", "udp", "udp6"} {
		table, err := os.ReadFile(fmt.Sprintf("/proc/%d/net/%s", r.daemon.Process.Pid, kind))
		if errors.Is(err, os.ErrNotExist) {
			continue // a system without IPv6
		}
		must(r.t, err)
		for line := range strings.Lines(string(table)) {
			fields := strings.Fields(line)
			listens := fields[3] == "0A" || strings.HasPrefix(kind, "udp")
			if listens && len(fields) > 9 && own["socket:["+fields[9]+"]"] {
				all = append(all, kind+" "+fields[1])
			}
		}
	}
	return all
}

func portOf(t *testing.T, address string) string {
	t.Helper()
	u, err := url.Parse(address)
	must(t, err)
	return u.Port()
}

// accept types the code of an invitation at an address, and gives the cookie that comes
// of it.
func accept(t *testing.T, address, code string) string {
	t.Helper()
	jar, err := cookiejar.New(nil)
	must(t, err)
	browser := &http.Client{Jar: jar}
	got, err := browser.PostForm(address+"/invite", url.Values{"code": {code}})
	must(t, err)
	got.Body.Close()
	at, err := url.Parse(address)
	must(t, err)
	if len(jar.Cookies(at)) != 1 {
		t.Fatalf("letting a screen in answers %s", got.Status)
	}
	return jar.Cookies(at)[0].String()
}
