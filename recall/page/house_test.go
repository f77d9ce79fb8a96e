package page

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"maps"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/keep"
	"bayhand/recall/serve"
	"bayhand/simulators/loopback"
)

// house is a room with everything that stands around it in a daemon: a keeper
// with the real planner, devices that hold what they are told, a server.
type house struct {
	t       testing.TB
	journal *shelf
	changes *Changes
	// mu guards the fields below: what the files say now, what they will say once
	// somebody begins, and the page that was made of them.
	mu             sync.Mutex
	files, laying  keep.Files
	found          []Finding
	ears           *Ears
	now            http.Handler
	units          map[string]*unit
	address, state string
	keeper         *keep.Keeper
	server         *serve.Server
	stop           func()
	// draft is the file for who draws it; nil for no such view.
	draft *Draft
	// others are the rooms of a house of several hosts, and lines the lines from one to
	// another; nil where there is one host.
	others []HouseRoom
	lines  []HouseLine
	// captured are the names of sessions that somebody captured.
	captured chan string
}

// shelf is a journal in memory.
type shelf struct {
	// mu guards the fields below.
	mu     sync.Mutex
	memory keep.Memory
	events []keep.Event
}

func (s *shelf) Load() (keep.Memory, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.memory, nil
}

func (s *shelf) Write(m keep.Memory, events []keep.Event) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.memory = m
	for _, e := range events {
		e.Seq = uint64(len(s.events) + 1)
		s.events = append(s.events, e)
	}
	return nil
}

func (s *shelf) Find(q keep.Query) ([]keep.Event, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	var all []keep.Event
	for _, e := range s.events {
		if q.Takes(e) {
			all = append(all, e)
		}
	}
	if q.Last > 0 {
		all = all[max(len(all)-q.Last, 0):]
	}
	return all, nil
}

// unit is a device that does what it is told.
type unit struct {
	// mu guards closed.
	mu     sync.Mutex
	closed map[name.Point]name.Point
	// turns are what somebody does at the front of the device.
	turns chan keep.Report
}

// turn is a hand at the front panel, which the device tells of by itself.
func (u *unit) turn(output, input name.Point) {
	u.mu.Lock()
	u.closed[output] = input
	u.mu.Unlock()
	u.turns <- keep.Report{Closed: []patch.Crosspoint{{Output: output, Input: input}}}
}

func (u *unit) Report(ctx context.Context) (keep.Report, error) {
	select {
	case r := <-u.turns:
		return r, nil
	case <-ctx.Done():
		return keep.Report{}, ctx.Err()
	}
}

func (u *unit) Read(context.Context) ([]patch.Crosspoint, error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	var all []patch.Crosspoint
	for output, input := range u.closed {
		all = append(all, patch.Crosspoint{Output: output, Input: input})
	}
	slices.SortFunc(all, patch.Crosspoint.Compare)
	return all, nil
}

func (u *unit) Switch(_ context.Context, open, closed []patch.Crosspoint) error {
	u.mu.Lock()
	defer u.mu.Unlock()
	for _, c := range open {
		delete(u.closed, c.Output)
	}
	for _, c := range closed {
		u.closed[c.Output] = c.Input
	}
	return nil
}

func (u *unit) ReadsBack() bool { return true }
func (u *unit) Close() error    { return nil }

// heron reads the demo's studio with its sessions.
func heron(t testing.TB) keep.Files {
	t.Helper()
	folder := filepath.Join("..", "..", "cmd", "bayhand", "demo", "heron")
	src, err := os.ReadFile(filepath.Join(folder, "studio.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	s, _, problems := text.ReadStudio("studio.yaml", src)
	if problems.Errors() {
		t.Fatal(problems)
	}
	files := keep.Files{Studio: s, Sessions: map[string]*session.Session{}}
	open := func(name string) (string, []byte, error) {
		src, err := os.ReadFile(filepath.Join(folder, "sessions", name+".yaml"))
		return name + ".yaml", src, err
	}
	entries, err := os.ReadDir(filepath.Join(folder, "sessions"))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if e.IsDir() {
			continue // pictures of fronts
		}
		called := strings.TrimSuffix(e.Name(), ".yaml")
		file, src, err := open(called)
		if err != nil {
			t.Fatal(err)
		}
		read, _, problems := text.ReadSession(file, src, s, open)
		if problems.Errors() {
			t.Fatal(problems)
		}
		files.Sessions[called] = read
	}
	return files
}

// plans remembers the ways that were found: the same question has the same answer,
// and with the race detector on it takes its time.
var plans sync.Map

// little is the work that a plan takes here: the plans of the demo are the same with
// more, and proved, which the page only repeats.
const little = 3

func planned(ctx context.Context, ask plan.Request) (*plan.Plan, error) {
	ask.Effort = little
	key := fmt.Sprintf("%s %v %v %+v %+v %v %v %d %v", ask.Studio.Name, ask.Studio.Faulty, ask.Studio.Rest, ask.Session, ask.From, ask.Partly, ask.LeaveCords, ask.FirstID, ask.PreviousInside)
	if made, ok := plans.Load(key); ok {
		return made.(*plan.Plan), nil
	}
	made, err := planner.Make(ctx, ask)
	if err == nil {
		plans.Store(key, made)
	}
	return made, err
}

// looks is for a test of what stands on the page: what one browser is shown, one thing
// after the other. The race detector finds nothing in it that the tests of several
// browsers do not show it, and makes it several times as long; .ci/run has it without.
func looks(t *testing.T) {
	t.Helper()
	if raced {
		t.Skip("this runs without the race detector")
	}
}

// build puts a house around files and opens its doors.
func build(t testing.TB, files keep.Files) *house {
	t.Helper()
	address, err := loopback.Free()
	if err != nil {
		t.Fatal(err)
	}
	return buildAt(t, files, address)
}

// buildAt is a house at an address; the others are reached by this machine alone.
func buildAt(t testing.TB, files keep.Files, address string) *house {
	t.Helper()
	h := &house{t: t, journal: &shelf{}, changes: NewChanges(), units: map[string]*unit{}, address: address, state: t.TempDir(), captured: make(chan string, 8)}
	h.furnish(files)
	h.open()
	t.Cleanup(func() { h.stop() })
	return h
}

// furnish brings in files, with devices that are as at rest.
func (h *house) furnish(files keep.Files) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.files = files
	if files.Studio == nil {
		return
	}
	for _, m := range files.Studio.Matrices {
		u := &unit{closed: map[name.Point]name.Point{}, turns: make(chan keep.Report)}
		for _, c := range files.Studio.Rest.Of(m.Name) {
			u.closed[c.Output] = c.Input
		}
		h.units[m.Name] = u
	}
}

// lay is what somebody writes who begins.
func (h *house) lay(string) error {
	h.furnish(h.laying)
	h.look()
	return nil
}

// say has something to say of the files from now on.
func (h *house) say(found ...Finding) {
	h.mu.Lock()
	h.found = found
	h.mu.Unlock()
	h.changes.Tell()
}

// look is what a watch on the files does.
func (h *house) look() {
	made := h.page(h.keeper)
	h.mu.Lock()
	h.now = made
	h.mu.Unlock()
	h.keeper.Look()
	h.changes.Tell()
}

func (h *house) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h.mu.Lock()
	now := h.now
	h.mu.Unlock()
	now.ServeHTTP(w, r)
}

func (h *house) load() keep.Files {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.files
}

func (h *house) check() []Finding {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.found
}

func (h *house) unit(called string) *unit {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.units[called]
}

// open starts the keeper and the server, at the same address as before.
func (h *house) open() {
	h.t.Helper()
	keeper, err := keep.New(keep.Config{
		Open:    func(_ context.Context, m studio.Matrix) (keep.Matrix, error) { return h.unit(m.Name), nil },
		Load:    func(context.Context, []string) keep.Files { return h.load() },
		Plan:    planned,
		Journal: h.journal,
	})
	if err != nil {
		h.t.Fatal(err)
	}
	h.now = h.page(keeper)
	server, err := serve.Listen(keeper, serve.Options{Address: h.address, Page: h, State: h.state, Log: slog.New(slog.NewTextHandler(os.Stderr, &slog.HandlerOptions{Level: slog.LevelWarn}))})
	if err != nil {
		h.t.Fatal(err)
	}
	h.keeper, h.server = keeper, server
	h.address = strings.TrimPrefix(server.Address(), "http://")
	ctx, cancel := context.WithCancel(context.Background())
	var running sync.WaitGroup
	for _, run := range []func(context.Context) error{keeper.Run, server.Run} {
		running.Go(func() {
			if err := run(ctx); err != nil && !errors.Is(err, context.Canceled) {
				h.t.Error(err)
			}
		})
	}
	h.stop = func() { cancel(); running.Wait() }
}

func (h *house) page(keeper *keep.Keeper) http.Handler {
	files := h.load()
	o := Options{
		Room: keeper, Studio: files.Studio, Plan: planned, History: h.journal.Find, Changes: h.changes, Check: h.check, Ears: h.ears,
		Title: func(called string) string {
			if s := files.Sessions[called]; s != nil {
				return s.Title
			}
			return called
		},
		Names: func(context.Context) ([]string, error) { return slices.Sorted(maps.Keys(files.Sessions)), nil },
		Session: func(_ context.Context, called string) (Listed, error) {
			return Listed{Name: called, Session: files.Sessions[called]}, nil
		},
		Capture: func(_ context.Context, called string, of *patch.Patch) error {
			if called == "tern-mix-1" {
				return errors.New("tern-mix-1 is there already")
			}
			h.captured <- called + cordsOf(of)
			return nil
		},
	}
	o.Draft = h.draft
	if h.others != nil {
		o.House = func(context.Context) House { return House{Rooms: h.others, Lines: h.lines} }
	}
	if files.Studio == nil && h.laying.Studio != nil {
		o.Begin = &Begin{File: "heron/studio.yaml", Lay: h.lay}
	}
	return New(o)
}

// cordsOf names the cords of a patch that was captured; nothing for the present
// one.
func cordsOf(of *patch.Patch) string {
	if of == nil {
		return ""
	}
	var all []string
	for _, c := range of.Cords {
		all = append(all, c.A.String()+" "+c.B.String())
	}
	return ": " + strings.Join(all, ", ")
}

func (h *house) status() keep.Status {
	h.t.Helper()
	s, err := h.keeper.Status(context.Background())
	if err != nil {
		h.t.Fatal(err)
	}
	return s
}
