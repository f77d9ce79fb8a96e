package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bayhand/recall/border"
	"bayhand/recall/border/etcd"
	"bayhand/simulators/loopback"
)

// settingsOf are the lines of the manual that set a server up, for one of its hosts.
func settingsOf(t *testing.T, host string) []string {
	t.Helper()
	page, err := os.ReadFile("manual/hosts.md")
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for line := range strings.Lines(string(page)) {
		setting, is := strings.CutPrefix(strings.TrimRight(line, "\n"), "    ETCD_")
		if !is {
			continue
		}
		if !strings.HasPrefix(setting, "INITIAL_CLUSTER=") { // which names all three
			setting = strings.ReplaceAll(setting, "north", host)
		}
		all = append(all, "ETCD_"+setting)
	}
	if len(all) < 7 {
		t.Fatalf("the manual has the settings %q", all)
	}
	return all
}

// The settings of the manual's page make a table of three servers, with only the
// addresses changed, which goes on when one of them is dark.
func TestSettingsOfTheManual(t *testing.T) {
	peer(t, "etcd")
	names := []string{"north", "south", "office"}
	var addresses, servers []string
	own := map[string][2]string{}
	for _, name := range names {
		var free [2]string
		for i := range free {
			var err error
			if free[i], err = loopback.Free(); err != nil {
				t.Fatal(err)
			}
		}
		own[name] = free
		addresses = append(addresses, name+":2379", free[0], name+":2380", free[1])
		servers = append(servers, "http://"+free[0])
	}
	var running []*exec.Cmd
	for _, name := range names {
		here := strings.NewReplacer(append(addresses, "0.0.0.0:2379", own[name][0], "0.0.0.0:2380", own[name][1])...)
		server := exec.Command("etcd")
		server.Env = append(os.Environ(), "ETCD_DATA_DIR="+filepath.Join(t.TempDir(), name))
		for _, setting := range settingsOf(t, name) {
			server.Env = append(server.Env, here.Replace(setting))
		}
		if err := server.Start(); err != nil {
			t.Fatal(err)
		}
		running = append(running, server)
		t.Cleanup(func() { _ = server.Process.Kill(); _ = server.Wait() })
	}
	table, err := etcd.New(etcd.Options{House: "The school", Servers: servers, Patience: 5 * time.Minute})
	if err != nil {
		t.Fatal(err)
	}
	defer table.Close()
	for n := range uint64(2) {
		act := border.Act{Do: border.ToClaim, Room: "concert", Number: n + 1, Session: "recital", Places: []border.Place{"tape"}}
		if view, err := table.Act(t.Context(), act); err != nil || view.Table.Holds["tape"].Room != "concert" {
			t.Fatalf("claim %d: %v, %+v", n+1, err, view.Table.Holds)
		}
		_ = running[0].Process.Kill() // the machine room is dark
	}
}
