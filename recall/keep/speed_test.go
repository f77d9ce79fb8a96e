package keep_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"bayhand/model/patch"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	modeltext "bayhand/model/text"
	"bayhand/recall/journal"
	"bayhand/recall/keep"
)

// Two sizes of studio: the made-up one that bayhand comes with, and a facility of
// 40 bays of 48 pairs and 16 matrices of 64 x 64. Each has a session in two
// readings that differ in what one matrix switches.
type size struct {
	name   string
	studio *studio.Studio
	now    [2]*session.Session
}

func sizes(b *testing.B) []size {
	b.Helper()
	heron := filepath.Join("..", "..", "cmd", "bayhand", "demo", "heron")
	src, err := os.ReadFile(filepath.Join(heron, "studio.yaml"))
	if err != nil {
		b.Fatal(err)
	}
	demo := `session: One
connect:
  - interface/out10 -> spring/in1
`
	return []size{
		sized(b, "demo", string(src), demo, strings.Replace(demo, "out10", "out11", 1)),
		sized(b, "facility", facility(), facilitySession(1), facilitySession(2)),
	}
}

func sized(b *testing.B, name, src string, sessions ...string) size {
	b.Helper()
	one := size{name: name}
	var problems modeltext.Problems
	if one.studio, _, problems = modeltext.ReadStudio("studio.yaml", []byte(src)); problems.Errors() {
		b.Fatal(problems)
	}
	for i, text := range sessions {
		s, _, problems := modeltext.ReadSession("one.yaml", []byte(text), one.studio, nil)
		if problems.Errors() {
			b.Fatal(problems)
		}
		s.Name = "one"
		one.now[i] = s
	}
	return one
}

func facility() string {
	var gear, bays, matrices, wiring strings.Builder
	for n := 1; n <= 40; n++ {
		fmt.Fprintf(&gear, "  rack%d: {outputs: {out1-48: pro-line}, inputs: {in1-48: pro-line}}\n", n)
		fmt.Fprintf(&bays, "  bay%d: {pairs: 48, modes: half-normal}\n", n)
		fmt.Fprintf(&wiring, "  - rack%d/out1-48 -> bay%d/t1-48\n  - bay%d/b1-48 -> rack%d/in1-48\n", n, n, n, n)
	}
	for n := 1; n <= 16; n++ {
		fmt.Fprintf(&gear, "  pool%d: {outputs: {out1-64: pro-line}, inputs: {in1-64: pro-line}}\n", n)
		fmt.Fprintf(&matrices, "  grid%d: {inputs: 64, outputs: 64, device: {description: scpi-switch, link: \"tcp:127.0.0.1:%d\"}}\n", n, 5000+n)
		fmt.Fprintf(&wiring, "  - pool%d/out1-64 -> grid%d/in1-64\n  - grid%d/out1-64 -> pool%d/in1-64\n", n, n, n, n)
	}
	return "studio: Facility\ngear:\n" + gear.String() + "bays:\n" + bays.String() + "matrices:\n" + matrices.String() + "wiring:\n" + wiring.String()
}

func facilitySession(source int) string {
	var connect strings.Builder
	fmt.Fprintf(&connect, "  - pool1/out%d -> pool1/in1\n", source)
	for n := 2; n <= 16; n++ {
		fmt.Fprintf(&connect, "  - pool%d/out1-4 -> pool%d/in1-4\n", n, n)
	}
	return "session: One\nconnect:\n" + connect.String()
}

// quick is a matrix that does at once what it is told, and says when it was told
// anything.
type quick struct {
	mu     sync.Mutex
	closed map[patch.Crosspoint]bool
	told   chan struct{}
}

func (q *quick) ReadsBack() bool { return true }
func (q *quick) Close() error    { return nil }

func (q *quick) Read(context.Context) ([]patch.Crosspoint, error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	var all []patch.Crosspoint
	for c := range q.closed {
		all = append(all, c)
	}
	return all, nil
}

func (q *quick) Switch(_ context.Context, open, shut []patch.Crosspoint) error {
	select {
	case q.told <- struct{}{}:
	default:
	}
	q.mu.Lock()
	defer q.mu.Unlock()
	for _, c := range open {
		delete(q.closed, c)
	}
	for _, c := range shut {
		q.closed[c] = true
	}
	return nil
}

// stand runs a keeper of a studio whose files the benchmark changes.
type stand struct {
	keeper *keep.Keeper
	told   chan struct{}
	mu     sync.Mutex
	files  keep.Files
}

func (s *stand) save(to *session.Session) {
	s.mu.Lock()
	s.files.Sessions = map[string]*session.Session{"one": to}
	s.mu.Unlock()
	s.keeper.Look()
}

func standing(b *testing.B, one size, shape func(*keep.Config)) *stand {
	b.Helper()
	s := &stand{told: make(chan struct{}, 1), files: keep.Files{Studio: one.studio, Sessions: map[string]*session.Session{"one": one.now[0]}}}
	config := keep.Config{
		Open: func(context.Context, studio.Matrix) (keep.Matrix, error) {
			return &quick{closed: map[patch.Crosspoint]bool{}, told: s.told}, nil
		},
		Load: func(context.Context, []string) keep.Files {
			s.mu.Lock()
			defer s.mu.Unlock()
			return s.files
		},
		Plan: planner.Make, Journal: &journal.Fleeting{}, Poll: -1,
	}
	if shape != nil {
		shape(&config)
	}
	k, err := keep.New(config)
	if err != nil {
		b.Fatal(err)
	}
	s.keeper = k
	running, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- k.Run(running) }()
	b.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			b.Error(err)
		}
	})
	if _, err := k.Status(ctx); err != nil {
		b.Fatal(err)
	}
	return s
}

// From a session that was saved to the first byte at a device: read is not
// counted, nor the moment of quiet that the watch waits for (200 ms).
func BenchmarkSaveToFirstByte(b *testing.B) {
	for _, one := range sizes(b) {
		b.Run(one.name, func(b *testing.B) {
			s := standing(b, one, nil)
			if _, err := asked(s.keeper, keep.Act{Do: keep.ToRecall, Session: "one"}); err != nil {
				b.Fatal(err)
			}
			n := 0
			for b.Loop() {
				b.StopTimer()
				s.settled(b)
				select {
				case <-s.told:
				default:
				}
				b.StartTimer()
				n++
				s.save(one.now[n%2])
				<-s.told
			}
			b.StopTimer()
			s.settled(b)
		})
	}
}

// settled waits until no device is on its way.
func (s *stand) settled(b *testing.B) {
	b.Helper()
	watching, stop := context.WithCancel(ctx)
	defer stop()
	all, err := s.keeper.Events(watching)
	if err != nil {
		b.Fatal(err)
	}
	for now := range all {
		if now.Phase != keep.Pushing {
			return
		}
	}
}

// From a person's tick to the last of thirty screens that shows it.
func BenchmarkTickToAllScreens(b *testing.B) {
	for _, one := range sizes(b) {
		b.Run(one.name, func(b *testing.B) {
			s := standing(b, one, nil)
			watching, stop := context.WithCancel(ctx)
			defer stop()
			var screens []<-chan keep.Status
			for range 30 {
				screen, err := s.keeper.Events(watching)
				if err != nil {
					b.Fatal(err)
				}
				screens = append(screens, screen)
			}
			bay := one.studio.Bays[0]
			in := false
			for b.Loop() {
				in = !in
				var now keep.Status
				var err error
				if in {
					now, err = asked(s.keeper, keep.Act{Do: keep.Plugged, A: bay.TopJack(1), B: bay.TopJack(2)})
				} else {
					now, err = asked(s.keeper, keep.Act{Do: keep.Pulled, A: bay.TopJack(1)})
				}
				if err != nil {
					b.Fatal(err)
				}
				for _, screen := range screens {
					for shown := range screen {
						if shown.Seq >= now.Seq {
							break
						}
					}
				}
			}
		})
	}
}

// hurried is a clock on which every wait is over at once, so that ten minutes are
// what is done in them.
type hurried struct {
	mu  sync.Mutex
	now time.Time
	// until is when it stops.
	until time.Time
	over  chan struct{}
}

func (h *hurried) Now() time.Time {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.now
}

func (h *hurried) Timer(d time.Duration) (<-chan time.Time, func()) {
	h.mu.Lock()
	defer h.mu.Unlock()
	c := make(chan time.Time, 1)
	if h.now.Add(d).After(h.until) {
		select {
		case h.over <- struct{}{}:
		default:
		}
		return c, func() {}
	}
	h.now = h.now.Add(d)
	c <- h.now
	return c, func() {}
}

// Ten minutes in which nobody does anything: a poll of each matrix every five
// seconds. What one of these takes, of ten minutes, is the load; B/held is what
// the keeper holds in memory.
func BenchmarkTenIdleMinutes(b *testing.B) {
	for _, one := range sizes(b) {
		b.Run(one.name, func(b *testing.B) {
			before := heap()
			start := time.Date(2031, 5, 4, 10, 0, 0, 0, time.UTC)
			clock := &hurried{now: start, until: start, over: make(chan struct{}, 1)}
			s := standing(b, one, func(c *keep.Config) { c.Clock, c.Poll = clock, 5*time.Second })
			if _, err := asked(s.keeper, keep.Act{Do: keep.ToRecall, Session: "one"}); err != nil {
				b.Fatal(err)
			}
			held := heap() - before
			for b.Loop() {
				clock.mu.Lock()
				clock.until = clock.until.Add(10 * time.Minute)
				select {
				case <-clock.over:
				default:
				}
				clock.mu.Unlock()
				s.keeper.Look() // wakes it from the timer that was over
				<-clock.over
			}
			perOp := float64(b.Elapsed()) / float64(b.N)
			b.ReportMetric(100*perOp/float64(10*time.Minute), "%load")
			b.ReportMetric(float64(held), "B/held")
		})
	}
}
