package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/recall/keep"
	"bayhand/simulators/matrix"
)

const servedStudio = `studio: Heron Boathouse, a matrix in the machine room
gear:
  mics: {outputs: {out1-2: pro-line}}
  desk: {inputs: {in1-2: pro-line}}
  keys: {outputs: {out1: pro-line}}
matrices:
  grid: {inputs: 2, outputs: 2, device: {description: line-switch, link: "rfc2217:127.0.0.1:1?clients=newest"}}
wiring:
  - mics/out1-2 -> grid/in1-2
  - grid/out1-2 -> desk/in1-2
rooms: {north: [mics, desk], south: [keys]}
`

// pair are two hosts that can reach one line, each with a way of its own to its server.
type pair struct {
	*hosts
	rec  *recorder
	line map[string]*way
}

// The house of both hosts; one whose file gives the line to south; and that under another
// name, whose table is another one.
const (
	oneHouse   = "house: Hosts\nhosts: {north: {rooms: [north], lines: [grid]}, south: {rooms: [south], stand-by: [grid]}}\n"
	otherHouse = "house: Hosts\nhosts: {north: {rooms: [north]}, south: {rooms: [south], lines: [grid]}}\n"
	nextHouse  = "house: Others\nhosts: {north: {rooms: [north]}, south: {rooms: [south], lines: [grid]}}\n"
)

// newPair has the line hang on north, and south stand by, by the file of south's own house.
func newPair(t *testing.T, servers int, south string) *pair {
	t.Helper()
	p := &pair{hosts: atTable(t, servers, 19), rec: newRecorder(t, "north", "south"), line: map[string]*way{}}
	for _, room := range []string{"north", "south"} {
		one := p.add(room)
		p.line[room] = newWay(t, p.rec.doors[room].Addr().String())
		about := oneHouse
		if room == "south" {
			about = south
		}
		p.write(one, map[string]string{
			"studio.yaml":         servedStudio,
			"house.yaml":          "servers: " + p.serversOf(one) + "\n" + about,
			"sessions/heron.yaml": "session: Heron\nconnect: [mics/out2 -> desk/in1]\n",
		})
		one.more = []string{"--link", "grid=rfc2217:" + p.line[room].address() + "?clients=newest"}
		if os.Getenv("BAYHAND_HOSTS") == "" {
			one.env = []string{leasedVariable + "=3s"}
		}
	}
	return p
}

// owner waits until a host has the grant and the device answers it, with what that read.
func (p *pair) owner(one *oneHost) {
	p.Helper()
	p.until("grid answers "+one.room, func() bool {
		s, err := p.status(one)
		return err == nil && len(s.Matrices) == 1 && s.Matrices[0].Answers
	})
	view, err := p.table.View(context.Background())
	if err != nil || len(view.Grants) != 1 || view.Grants[0].Host != one.room {
		p.Errorf("grid answers %s, and is granted as %+v (%v)", one.room, view.Grants, err)
	}
}

// takeover is how long after a moment the first byte of a host came.
func (p *pair) takeover(from string, after int, began time.Time) time.Duration {
	p.Helper()
	var took time.Duration
	p.until("grid hears "+from, func() bool {
		all := p.rec.since(after)
		i := slices.IndexFunc(all, func(h arrived) bool { return h.host == from })
		if i >= 0 {
			took = all[i].at.Sub(began)
		}
		return i >= 0
	})
	return took
}

// A line of several hosts is driven by one: one is killed in the middle of a line, another
// is cut off from the table while what it sent is still on its way. Whoever takes over
// begins with the end of a line and knows from the device what is switched.
func TestServedLine(t *testing.T) {
	t.Parallel()
	p := newPair(t, 1, oneHouse)
	north, south := p.all[0], p.all[1]
	p.start(north)
	p.owner(north)
	p.start(south)

	p.rec.halve.Store(true)
	after := p.rec.count()
	asked := make(chan struct{})
	client := p.find(t.Context(), north)
	go func() { // its answer dies with it
		defer close(asked)
		defer client.Close()
		_, _ = client.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "heron"})
	}()
	p.until("half a line came", func() bool { return !p.rec.halve.Load() && p.rec.count() > after })
	after = p.rec.count()
	began := time.Now()
	_ = north.process.Process.Kill()
	_ = north.process.Wait()
	<-asked
	t.Logf("killed in the middle of a line: taken over within %v", p.takeover("south", after, began))
	p.owner(south)
	if err := p.rec.wrong("north", "south"); err != nil {
		t.Error(err)
	}
	p.knows(south)

	p.start(north)
	p.late(south, north)
	if err := p.rec.wrong("north", "south", "north"); err != nil {
		t.Error(err)
	}
	p.rec.restart()
	after = p.rec.count()
	p.takeover("north", after, time.Now())
	p.owner(north)
	p.knows(north)
	p.drawn(north, south, []string{"north", "south", "north"})
}

// drawn has the line go from host to host, by drawn troubles: the long form.
func (p *pair) drawn(from, to *oneHost, owners []string) {
	events, _ := strconv.Atoi(os.Getenv("BAYHAND_HOSTS"))
	for range events / 10 {
		i := p.lots.IntN(len(handOvers))
		after, began := p.rec.count(), time.Now()
		again := handOvers[i].begin(p, from)
		took := p.takeover(to.room, after, began)
		again()
		p.owner(to)
		p.knows(to)
		p.Logf("%s: taken over within %v", handOvers[i].called, took)
		from, to = to, from
		owners = append(owners, from.room)
		if err := p.rec.wrong(owners...); err != nil {
			p.Fatal(err)
		}
	}
}

// handOvers are how a host loses a line; what begin returns makes it well again.
var handOvers = []struct {
	called string
	begin  func(p *pair, one *oneHost) func()
}{
	{"killed", func(p *pair, one *oneHost) func() {
		_ = one.process.Process.Kill()
		_ = one.process.Wait()
		return func() { p.start(one) }
	}},
	{"ended", func(p *pair, one *oneHost) func() {
		_ = one.process.Process.Signal(os.Interrupt)
		_ = one.process.Wait()
		return func() { p.start(one) }
	}},
	{"stopped", func(p *pair, one *oneHost) func() {
		p.stopped(one, true)
		return func() { p.stopped(one, false) }
	}},
	{"hears nothing of the table", func(p *pair, one *oneHost) func() {
		p.through(one, deaf)
		return func() { p.through(one, whole) }
	}},
	{"is not heard by the table", func(p *pair, one *oneHost) func() {
		p.through(one, mute)
		return func() { p.through(one, whole) }
	}},
}

// knows fails where a host knows the matrix otherwise than by reading it, or not as it is.
func (p *pair) knows(one *oneHost) {
	p.Helper()
	p.until(one.room+" has read the matrix", func() bool {
		s, err := p.status(one)
		if err != nil || len(s.Known.Crosspoints) != 2 {
			return false
		}
		for _, c := range s.Known.Crosspoints {
			listens := 0
			if c.Input != (name.Point{}) {
				listens = c.Input.Number
			}
			if c.How != keep.Read || int(p.rec.matrix.Listens(matrix.Output(c.Output.Number))) != listens {
				return false
			}
		}
		return true
	})
}

// late has a host lose the table while what it sent is on its way, and then arrive.
func (p *pair) late(from, to *oneHost) {
	p.Helper()
	after := p.rec.count()
	p.line[from.room].set(held)
	p.line[from.room].kept(p.TB)
	p.through(from, cut)
	p.TB.Logf("cut off from the table: taken over within %v", p.takeover(to.room, after, time.Now()))
	p.line[from.room].set(whole)
	p.through(from, whole)
	p.owner(to)
}

// What a test must find is found by it: a server that lets older clients go on, and a
// host that drives without a grant.
func TestServedLineFinds(t *testing.T) {
	t.Run("a server without a fence", func(t *testing.T) {
		t.Parallel()
		p := newPair(t, 1, oneHouse)
		p.rec.several = true
		p.start(p.all[0])
		p.owner(p.all[0])
		p.start(p.all[1])
		p.late(p.all[0], p.all[1])
		p.found("comes after connection", "north", "south")
	})
	t.Run("a host of another house, which needs no grant", func(t *testing.T) {
		t.Parallel()
		p := newPair(t, 1, nextHouse)
		p.start(p.all[0])
		p.owner(p.all[0])
		p.start(p.all[1])
		p.found("in turn, and granted to", "north")
	})
}

// Two hosts have files that each give it the line. The later one does not drive it, until
// somebody adopts its file; then the other lets go of it. Both say which host has what.
func TestLineOfTwoHouses(t *testing.T) {
	t.Parallel()
	p := newPair(t, 1, otherHouse)
	north, south := p.all[0], p.all[1]
	p.start(north)
	p.owner(north)
	p.start(south)
	p.says(south, "other-files", "matrix grid: connected to host south in the house file here, to host north in the one that the hosts go by")
	p.says(north, "mixed-files", "host south has another house file (")
	if err := p.rec.wrong("north"); err != nil {
		t.Error(err)
	}
	after := p.rec.count()
	p.command(south, "house", "adopt")
	p.says(north, "other-files", "matrix grid: connected to host north in the house file here, to host south in the one that the hosts go by")
	p.takeover("south", after, time.Now())
	p.knows(south)
	if err := p.rec.wrong("north", "south"); err != nil {
		t.Error(err)
	}
	if said := p.command(south, "house"); !strings.Contains(said, "host north has another house file (") {
		t.Errorf("bayhand house says %s", said)
	}
}

// says waits until a host's status has a problem that says something.
func (h *hosts) says(one *oneHost, code, what string) {
	h.Helper()
	h.until(fmt.Sprintf("host %s says %q", one.room, what), func() bool {
		s, err := h.status(one)
		return err == nil && slices.ContainsFunc(s.Problems, func(p keep.Problem) bool { return p.Code == code && strings.Contains(p.Message, what) })
	})
}

// command runs one with a host's files, and returns what it says.
func (h *hosts) command(one *oneHost, args ...string) string {
	h.Helper()
	c := exec.Command(h.at("bayhand"), append(args, "--state", h.at(one.room, "state"), "--studio", h.at(one.room, "studio.yaml"), "--house", h.at(one.room, "house.yaml"))...)
	out, err := c.CombinedOutput()
	if err != nil {
		h.Fatalf("bayhand %v: %v: %s", args, err, out)
	}
	return string(out)
}

func (p *pair) found(what string, owners ...string) {
	p.Helper()
	p.until(fmt.Sprintf("found: %q", what), func() bool {
		err := p.rec.wrong(owners...)
		return err != nil && strings.Contains(err.Error(), what)
	})
}
