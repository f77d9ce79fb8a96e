package keep_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"slices"
	"sync"
	"testing"
	"time"

	driver "bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/studio"
	"bayhand/recall/journal"
	"bayhand/recall/keep"
	"bayhand/simulators/matrix"
	"bayhand/simulators/scpi"
)

// The keeper's process may be killed between any two bytes that it sends and
// between any two writes of its journal. The room goes on: its relays stay as
// they are, its cords stay in. The next keeper has the journal and nothing else.

// world is a room that outlives the keepers: a bay of cords and a switcher of
// relays at the end of a line.
type world struct {
	t      testing.TB
	studio *studio.Studio
	room   *heard.Room
	judged map[string]string
	store  *journal.Fleeting
	files  keep.Files
	plans  *planned
	device *device.Description

	// mu guards the fields below.
	mu       sync.Mutex
	relays   *matrix.Matrix
	switcher *scpi.Switcher
	cords    []patch.Cord
	closed   map[patch.Crosspoint]bool
	seen     int
	// points counts the bytes sent and the writes begun; at deadline the keeper
	// is killed, 0 for never.
	points, deadline int
	dead             bool
	kill             func()
	// cleared lines forget a half message when the process at their end dies, as
	// TCP does; serial lines do not.
	cleared bool
	in      chan []byte
	// blind is true while somebody else has just changed the relays, until they
	// were read again; full is why the journal takes nothing.
	blind  bool
	full   error
	poll   time.Duration
	keeper *keep.Keeper
	stop   func()
	// record is what is written down of it; nil for nothing.
	record *record
}

// step counts one point, and says whether the keeper still lives after it.
func (w *world) step() bool {
	w.points++
	if w.points == w.deadline {
		w.dead = true
		w.kill()
	}
	return !w.dead
}

var errKilled = errors.New("the process was killed")

func (w *world) Load() (keep.Memory, error) { return w.store.Load() }

// Write dies before it writes or after it.
func (w *world) Write(m keep.Memory, events []keep.Event) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	if !w.step() {
		return errKilled
	}
	if w.full != nil {
		return w.full
	}
	w.knowsNothingElse(m.Known)
	w.record.wrote(events)
	err := w.store.Write(m, events)
	if !w.step() {
		return errKilled
	}
	return err
}

// knowsNothingElse fails where something is said to be read that is not so.
func (w *world) knowsNothingElse(k keep.Known) {
	if w.blind {
		return
	}
	for _, c := range k.Crosspoints {
		if c.How != keep.Read {
			continue
		}
		for n := 1; n <= w.studio.Matrices[0].Inputs; n++ {
			p := patch.Crosspoint{Output: c.Output, Input: in(n)}
			said := slices.ContainsFunc(k.Crosspoints, func(d keep.KnownCrosspoint) bool { return d.Output == p.Output && d.Input == p.Input })
			if w.closed[p] != said {
				w.t.Errorf("point %d: %s with %s is said to be read as %v, and is %v", w.points, p.Output, p.Input, said, w.closed[p])
			}
		}
	}
}

// wire is one open line to the switcher. A byte goes at a time, so that the
// keeper can die between any two.
type wire struct {
	world *world
	in    chan []byte
	rest  []byte
	done  chan struct{}
	once  sync.Once
}

func (l *wire) String() string                   { return "memory" }
func (l *wire) SetReadDeadline(time.Time) error  { return nil }
func (l *wire) SetWriteDeadline(time.Time) error { return nil }

func (l *wire) Close() error {
	l.once.Do(func() { close(l.done) })
	return nil
}

func (l *wire) Read(p []byte) (int, error) {
	if len(l.rest) == 0 {
		select {
		case l.rest = <-l.in:
		case <-l.done:
			return 0, os.ErrClosed
		}
	}
	n := copy(p, l.rest)
	l.rest = l.rest[n:]
	return n, nil
}

func (l *wire) Write(p []byte) (int, error) {
	l.world.mu.Lock()
	defer l.world.mu.Unlock()
	for i, b := range p {
		if !l.world.step() {
			return i, errKilled
		}
		for _, a := range l.world.switcher.Receive([]byte{b}) {
			l.in <- a
		}
		l.world.follow()
	}
	return len(p), nil
}

// open opens the line anew. On a serial line half a message and an answer that
// nobody took are still there.
func (w *world) open(_ context.Context, m studio.Matrix) (keep.Matrix, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.dead {
		return nil, errKilled
	}
	if w.cleared || w.in == nil {
		w.switcher.Clear()
		w.in = make(chan []byte, 1000)
	}
	return driver.New(w.device, m, &wire{world: w, in: w.in, done: make(chan struct{})}, driver.SystemClock{})
}

// follow looks at every state that the relays have gone through.
func (w *world) follow() {
	for _, e := range w.relays.History(w.seen) {
		w.seen = e.Number
		p := patch.Crosspoint{Output: out(int(e.Crosspoint.Output)), Input: in(int(e.Crosspoint.Input))}
		w.closed[p] = e.Closed
		w.judge()
		if s, err := w.keeper.Status(ctx); err == nil {
			w.knowsNothingElse(s.Known) // what is shown, at the moment in which it changes
			w.shownAsOpen(s.Known, p.Output)
		}
	}
}

// shownAsOpen fails where an output that is being switched is shown as anything
// but not known.
func (w *world) shownAsOpen(k keep.Known, output name.Point) {
	for _, c := range k.Crosspoints {
		if c.Output == output && c.How != keep.NotKnown {
			w.t.Errorf("point %d: %s is being switched and is shown as %s", w.points, output, c.How)
		}
	}
}

func (w *world) patch() patch.Patch {
	p := patch.Patch{Cords: slices.Clone(w.cords)}
	for c, closed := range w.closed {
		if closed {
			p.Crosspoints = append(p.Crosspoints, c)
		}
	}
	p.Sort()
	return p
}

// judge fails where outputs are joined, or something howls.
func (w *world) judge() {
	p := w.patch()
	key := text(p)
	wrong, known := w.judged[key]
	if !known {
		heard := w.room.Hear(p)
		wrong = fmt.Sprint(heard.Contentions(), heard.Loops(nil, nil))
		if len(heard.Contentions()) == 0 && len(heard.Loops(nil, nil)) == 0 {
			wrong = ""
		}
		w.judged[key] = wrong
	}
	if wrong != "" {
		w.t.Errorf("point %d: forbidden on the way: %s with %s", w.points, wrong, key)
	}
}

// hand is a person who does a step, whether it was told already or not.
func (w *world) hand(s plan.Step) {
	w.mu.Lock()
	defer w.mu.Unlock()
	holds := func(ends []name.Point) int {
		return slices.IndexFunc(w.cords, func(c patch.Cord) bool { return c.Same(cordOf(ends)) })
	}
	if i := holds(s.Ends); i >= 0 && (s.Do == plan.Pull || s.Do == plan.MoveEnd) {
		w.cords = slices.Delete(slices.Clone(w.cords), i, i+1)
		w.judge()
	}
	ends := s.Ends
	if s.Do == plan.MoveEnd {
		ends = s.To
	}
	if (s.Do == plan.Plug || s.Do == plan.MoveEnd) && holds(ends) < 0 {
		w.cords = append(slices.Clone(w.cords), cordOf(ends))
		w.judge()
	}
}

func cordOf(ends []name.Point) patch.Cord {
	c := patch.Cord{A: ends[0]}
	if len(ends) > 1 {
		c.B = ends[1]
	}
	return c
}

// planned remembers plans: the same question has the same answer, and is asked
// thousands of times here.
type planned struct{ known map[string][]byte }

func (p *planned) plan(ctx context.Context, ask plan.Request) (*plan.Plan, error) {
	key, err := json.Marshal([]any{ask.From, ask.Session, ask.PreviousInside, ask.FirstID, ask.Studio.Rest})
	if err != nil {
		return nil, err
	}
	known, ok := p.known[string(key)]
	if !ok {
		made, err := planner.Make(ctx, ask)
		if err != nil {
			return nil, err
		}
		if known, err = json.Marshal(made); err != nil {
			return nil, err
		}
		p.known[string(key)] = known
	}
	var made plan.Plan
	if err := json.Unmarshal(known, &made); err != nil {
		return nil, err
	}
	return &made, nil
}
