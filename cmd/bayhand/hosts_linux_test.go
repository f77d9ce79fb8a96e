package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"bayhand/model/patch"
	"bayhand/model/shared"
	"bayhand/model/text"
	"bayhand/recall/border"
	"bayhand/recall/border/etcd"
	"bayhand/recall/keep"
	"bayhand/recall/serve"
)

// hostsStudio has some rooms, each with a desk, and two machines in none of them.
func hostsStudio(rooms []string) string {
	var gear, bays, wiring, ties, kept strings.Builder
	for i, room := range rooms {
		fmt.Fprintf(&gear, "  desk-%s: {outputs: {out1: pro-line}, inputs: {in1: pro-line}}\n", room)
		fmt.Fprintf(&bays, "  bay-%s: {pairs: 4, modes: isolated}\n", room)
		fmt.Fprintf(&wiring, "  - desk-%s/out1 -> bay-%s/t1\n  - bay-%s/b1 -> desk-%s/in1\n", room, room, room, room)
		fmt.Fprintf(&ties, "  - bay-%s/b2 = core/t%d\n", room, i+1)
		fmt.Fprintf(&kept, "  %s: [bay-%s, desk-%s]\n", room, room, room)
	}
	return "studio: Heron Boathouse, rooms and a machine room\ngear:\n" + gear.String() +
		"  tape-1: {inputs: {in1: pro-line}}\n  tape-2: {inputs: {in1: pro-line}}\nbays:\n" + bays.String() +
		"  core: {pairs: 8, modes: isolated}\nwiring:\n" + wiring.String() +
		"  - core/b7 -> tape-1/in1\n  - core/b8 -> tape-2/in1\nties:\n" + ties.String() + "rooms:\n" + kept.String()
}

// hosts are daemons as processes, each with its own room, files and way to the
// servers, and what they acknowledged.
type hosts struct {
	testing.TB
	dir     string
	rooms   []string // one a host
	lines   shared.Lines
	servers []*tableServer
	table   *etcd.Border
	all     []*oneHost
	lots    *rand.Rand
	// slowest is the longest answer to a host that reaches the table, and to one that
	// does not.
	slowest [2]time.Duration
	given   int
}

type oneHost struct {
	room    string
	ways    []*way
	process *exec.Cmd
	// env and more are what its daemon has beside what all have.
	env, more []string
	// known are the cords that the host acknowledged last.
	known patch.Patch
}

// newHosts are hosts that work. Each has three ways to the servers, though there be one.
func newHosts(t *testing.T, rooms []string, servers int, seed uint64) *hosts {
	t.Helper()
	h := atTable(t, servers, seed)
	h.rooms = rooms
	s, _, problems := text.ReadStudio("studio.yaml", []byte(hostsStudio(rooms)))
	if problems.Errors() {
		t.Fatal(problems)
	}
	h.lines = shared.Of(s)
	for i, room := range rooms {
		one := h.add(room)
		for len(one.ways) < 3 {
			one.ways = append(one.ways, newWay(t, h.servers[0].client))
		}
		one.env = []string{fmt.Sprintf("%s=%dh", aheadVariable, i-1)}
		h.write(one, h.roomFiles(one))
		h.start(one)
	}
	return h
}

// atTable is a table in servers, with a program for hosts.
func atTable(t testing.TB, servers int, seed uint64) *hosts {
	t.Helper()
	h := &hosts{TB: t, dir: t.TempDir(), rooms: []string{"a"}, lots: rand.New(rand.NewPCG(seed, 1))}
	h.servers = tableServers(t, "http", servers)
	var addresses []string
	for _, one := range h.servers {
		addresses = append(addresses, "http://"+one.client)
	}
	var err error
	if h.table, err = etcd.New(etcd.Options{House: "Hosts", Servers: addresses, Patience: 5 * time.Minute}); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(h.table.Close)
	this, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(this, h.at("bayhand")); err != nil {
		t.Fatal(err)
	}
	return h
}

// add is one more host, with its own ways to the servers.
func (h *hosts) add(room string) *oneHost {
	h.Helper()
	one := &oneHost{room: room}
	for _, s := range h.servers {
		one.ways = append(one.ways, newWay(h.TB, s.client))
	}
	h.all = append(h.all, one)
	return one
}

func (h *hosts) at(parts ...string) string {
	return filepath.Join(append([]string{h.dir}, parts...)...)
}

// serversOf are the servers as a host's file names them.
func (h *hosts) serversOf(one *oneHost) string {
	var servers []string
	for _, w := range one.ways {
		servers = append(servers, strconv.Quote("http://"+w.address()))
	}
	return "[" + strings.Join(servers, ", ") + "]"
}

// roomFiles are those of a host that keeps a room.
func (h *hosts) roomFiles(one *oneHost) map[string]string {
	house := "house: Hosts\nservers: " + h.serversOf(one) + "\nhosts:\n"
	for _, room := range h.rooms {
		house += fmt.Sprintf("  %s: {rooms: [%s]}\n", room, room)
	}
	files := map[string]string{"studio.yaml": hostsStudio(h.rooms), "house.yaml": house}
	for _, to := range []string{"tape-1", "tape-2", "desk-" + one.room} {
		files["sessions/"+to+".yaml"] = fmt.Sprintf("session: To %s\nconnect: [desk-%s/out1 -> %s/in1]\n", to, one.room, to)
	}
	return files
}

func (h *hosts) write(one *oneHost, files map[string]string) {
	h.Helper()
	for file, content := range files {
		file = h.at(one.room, file)
		if err := errors.Join(os.MkdirAll(filepath.Dir(file), 0o755), os.WriteFile(file, []byte(content), 0o644)); err != nil {
			h.Fatal(err)
		}
	}
}

// start begins a host's daemon, and waits until it answers.
func (h *hosts) start(one *oneHost) {
	h.Helper()
	folder := h.at(one.room)
	one.process = exec.Command(h.at("bayhand"), "daemon", "--http", "127.0.0.1:0", "--studio", filepath.Join(folder, "studio.yaml"),
		"--state", filepath.Join(folder, "state"), "--house", filepath.Join(folder, "house.yaml"), "--house-host", one.room)
	one.process.Args = append(one.process.Args, one.more...)
	one.process.Env = append(os.Environ(), one.env...)
	if err := one.process.Start(); err != nil {
		h.Fatal(err)
	}
	process := one.process
	h.Cleanup(func() { _ = process.Process.Kill(); _ = process.Wait() })
	h.until("host "+one.room+" answers", func() bool { _, err := h.status(one); return err == nil })
}

// until looks again and again, for a minute at most.
func (h *hosts) until(what string, is func() bool) time.Duration {
	h.Helper()
	began := time.Now()
	// A host answers fifty requests a second of one machine, and to ask how it stands takes two.
	tick := time.NewTicker(60 * time.Millisecond)
	defer tick.Stop()
	for over := time.After(time.Minute); !is(); {
		select {
		case <-tick.C:
		case <-over:
			h.Fatalf("never: %s", what)
		}
	}
	return time.Since(began)
}

func (h *hosts) status(one *oneHost) (keep.Status, error) {
	ctx, stop := context.WithTimeout(context.Background(), 30*time.Second)
	defer stop()
	client, err := serve.Find(ctx, h.at(one.room, "state"))
	if err != nil {
		return keep.Status{}, err
	}
	defer client.Close()
	return client.Status(ctx)
}

// act asks a host for something. What is acknowledged is remembered; what is given is held
// against the table: none of its lines is another room's, or nobody's.
func (h *hosts) act(one *oneHost, act keep.Act) bool {
	h.Helper()
	ctx, stop := context.WithTimeout(context.Background(), time.Minute)
	defer stop()
	client := h.find(ctx, one)
	defer client.Close()
	began := time.Now()
	answer, err := client.Act(ctx, act)
	reached := 0
	if s, _ := one.ways[0].is(); s != whole && s != slow {
		reached = 1
	}
	h.slowest[reached] = max(h.slowest[reached], time.Since(began))
	switch {
	case errors.Is(err, keep.ErrNotGiven), errors.Is(err, keep.ErrConflict):
		return false
	case err != nil:
		h.Fatalf("host %s, %+v: %v", one.room, act, err)
	}
	one.known = answer.Status.Known.Patch()
	h.given++
	h.holds(one, answer.Status)
	return true
}

// find is a client of a host, once that is found.
func (h *hosts) find(ctx context.Context, one *oneHost) *serve.Client {
	h.Helper()
	var client *serve.Client
	h.until("host "+one.room+" is found", func() bool {
		var err error
		client, err = serve.Find(ctx, h.at(one.room, "state"))
		return err == nil
	})
	return client
}

// holds fails where a host plans with a line that its room does not hold, or where two
// hosts have cords in one line.
func (h *hosts) holds(one *oneHost, s keep.Status) {
	h.Helper()
	view, err := h.table.View(context.Background())
	if err != nil {
		h.Fatal(err)
	}
	if s.Plan != nil {
		for _, place := range h.lines.Taken(patch.Patch(s.Plan.Target)) {
			if holder := view.Table.Holds[border.Place(place)].Room; holder != one.room {
				h.Errorf("room %s is given %s, which %q holds", one.room, place, holder)
			}
		}
	}
	in := map[string]string{}
	for _, other := range h.all {
		for _, place := range h.lines.Taken(other.known) {
			if was := in[place]; was != "" {
				h.Errorf("rooms %s and %s have cords in %s", was, other.room, place)
			}
			in[place] = other.room
		}
	}
}

// killed ends a host as a power cut does and starts it again: what it acknowledged is
// there.
func (h *hosts) killed(one *oneHost) {
	h.Helper()
	_ = one.process.Process.Kill()
	_ = one.process.Wait()
	h.start(one)
	var s keep.Status
	h.until("host "+one.room+" says how it is", func() bool {
		var err error
		s, err = h.status(one)
		return err == nil
	})
	if got, want := fmt.Sprint(s.Known.Patch().Cords), fmt.Sprint(one.known.Cords); got != want {
		h.Errorf("host %s acknowledged %s, and after a kill it has %s", one.room, want, got)
	}
}

func (h *hosts) through(one *oneHost, s wayState) {
	for _, w := range one.ways {
		w.set(s)
	}
}

func (h *hosts) stopped(one *oneHost, is bool) {
	h.Helper()
	if err := one.process.Process.Signal(map[bool]syscall.Signal{true: syscall.SIGSTOP, false: syscall.SIGCONT}[is]); err != nil {
		h.Error(err)
	}
}

func (h *hosts) any() *oneHost { return h.all[h.lots.IntN(len(h.all))] }

func (h *hosts) other(one *oneHost) *oneHost {
	rest := slices.DeleteFunc(slices.Clone(h.all), func(o *oneHost) bool { return o == one })
	return rest[h.lots.IntN(len(rest))]
}

// work is what people do at a host: they recall, plug and strip.
func (h *hosts) work(one *oneHost) {
	h.Helper()
	session := []string{"tape-1", "tape-2", "desk-" + one.room, keep.RestName}[h.lots.IntN(4)]
	if h.act(one, keep.Act{Do: keep.ToRecall, Session: session}) && h.lots.IntN(4) > 0 {
		h.act(one, keep.Act{Do: keep.WereDone, All: true})
	}
}
