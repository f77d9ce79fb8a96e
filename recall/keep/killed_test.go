package keep_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/drivers/descriptions"
	driver "bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	modeltext "bayhand/model/text"
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
	w.record.wrote(m, events)
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

// start runs a keeper that dies at a point; 0 is never.
func (w *world) start(deadline int) {
	w.t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	w.mu.Lock()
	w.points, w.deadline, w.dead, w.kill = 0, deadline, false, cancel
	w.mu.Unlock()
	k, err := keep.New(keep.Config{
		Open:    w.open,
		Refused: func(err error) bool { return errors.Is(err, driver.ErrRefused) },
		Load:    w.read,
		Plan:    w.plans.plan, Journal: w, Poll: w.poll,
	})
	if err != nil {
		w.t.Fatal(err)
	}
	w.mu.Lock()
	w.keeper = k
	w.mu.Unlock()
	ended := make(chan error, 1)
	go func() { ended <- k.Run(ctx) }()
	w.stop = func() {
		cancel()
		if err := <-ended; err != nil {
			w.t.Error(err)
		}
	}
}

func (w *world) isDead() bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.dead
}

// turn is somebody who opens a crosspoint at the panel while nobody keeps the
// room, one time in three.
func (w *world) turn(random *rand.Rand) {
	w.mu.Lock()
	defer w.mu.Unlock()
	closed := w.relays.State()
	if len(closed) == 0 || random.IntN(3) > 0 {
		return
	}
	if err := w.relays.Open(matrix.Front, closed[random.IntN(len(closed))]); err != nil {
		w.t.Fatal(err)
	}
	for _, e := range w.relays.History(w.seen) {
		w.seen = e.Number
		w.closed[patch.Crosspoint{Output: out(int(e.Crosspoint.Output)), Input: in(int(e.Crosspoint.Input))}] = e.Closed
	}
}

// first looks at the first status of all that a new keeper shows.
func (w *world) first() {
	s, err := w.keeper.Status(ctx)
	w.mu.Lock()
	defer w.mu.Unlock()
	if err == nil {
		w.knowsNothingElse(s.Known)
	}
}

// story is what a person does, by a seed.
func (w *world) story(random *rand.Rand) {
	for range 5 {
		s, _ := w.keeper.Status(ctx)
		switch random.IntN(6) {
		case 0, 1, 2:
			_, _ = asked(w.keeper, keep.Act{Do: keep.ToRecall, Session: []string{"crossed", "shifted", "straight", keep.RestName}[random.IntN(4)]})
		case 3, 4:
			w.doSome(s, 1+random.IntN(3))
		case 5:
			_, _ = asked(w.keeper, keep.Act{Do: keep.ToUndo})
		}
		if w.isDead() {
			return
		}
	}
}

// doSome does the first steps left that a person can do now, and tells each.
func (w *world) doSome(s keep.Status, most int) {
	done := map[string]bool{}
	for _, d := range s.Done {
		done[d.ID] = true
	}
	for _, step := range s.Left {
		if most == 0 {
			return
		}
		if step.By != plan.Person || slices.ContainsFunc(step.After, func(id string) bool { return !done[id] }) {
			continue
		}
		most--
		w.hand(step)
		if _, err := asked(w.keeper, keep.Act{Do: keep.WereDone, IDs: []string{step.ID}}); err != nil {
			return
		}
		done[step.ID] = true
	}
}

// finish brings whatever is intended to its end with the keeper that runs now,
// and looks whether the room really gives it.
func (w *world) finish() {
	<-time.After(time.Minute)
	synctest.Wait()
	s, err := w.keeper.Status(ctx)
	for range 30 {
		if err != nil || w.isDead() || s.Phase == keep.Given || s.Phase == keep.Idle {
			break
		}
		w.doSome(s, 1)
		<-time.After(time.Second)
		synctest.Wait()
		s, err = w.keeper.Status(ctx)
	}
	if w.isDead() {
		return
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if err != nil || s.Phase != keep.Given && s.Phase != keep.Idle {
		w.t.Fatalf("still %s with %s, problems %v, %v", s.Phase, steps(s.Left), s.Problems, err)
	}
	w.knowsNothingElse(s.Known)
	if s.Phase == keep.Idle {
		return
	}
	if said, is := text(s.Known.Patch()), text(w.patch()); said != is {
		w.t.Errorf("%s is given by %q, and in is %q", s.Session, said, is)
	}
	if wanted := w.files.Sessions[s.Session]; wanted != nil {
		for _, f := range w.room.CheckGiven(wanted, w.patch(), nil) {
			w.t.Errorf("%s: %+v", s.Session, f)
		}
	}
}

// stories is how many different stories are told; lives is how often each is cut
// off at another point.
const stories = 50

// house is what the worlds of a test have in common.
type house struct {
	studio *studio.Studio
	room   *heard.Room
	judged map[string]string
	files  keep.Files
	plans  *planned
	device *device.Description
}

func newHouse(t *testing.T) house {
	t.Helper()
	_, src, err := descriptions.Named("scpi-switch")
	if err != nil {
		t.Fatal(err)
	}
	d, _, problems := modeltext.ReadDevice("scpi-switch", src)
	if problems.Errors() {
		t.Fatal(problems)
	}
	s := relayed()
	h := house{
		studio: s, room: heard.NewRoom(s), judged: map[string]string{}, device: d, plans: &planned{map[string][]byte{}},
		files: keep.Files{Studio: s, Sessions: map[string]*session.Session{}},
	}
	for _, wanted := range []*session.Session{
		hears("crossed", [2]int{1, 2}, [2]int{2, 1}, [2]int{5, 6}, [2]int{6, 5}),
		hears("shifted", [2]int{1, 3}, [2]int{3, 3}, [2]int{5, 5}),
		hears("straight", [2]int{5, 5}, [2]int{6, 6}),
	} {
		h.files.Sessions[wanted.Name] = wanted
	}
	return h
}

func (h house) world(t *testing.T) *world {
	t.Helper()
	relays, err := matrix.New(matrix.Contacts, 4, 4, matrix.Faults{})
	if err != nil {
		t.Fatal(err)
	}
	switcher, err := scpi.New(relays, scpi.RowsAreOutputs)
	if err != nil {
		t.Fatal(err)
	}
	return &world{
		t: t, studio: h.studio, room: h.room, judged: h.judged, store: &journal.Fleeting{}, files: h.files, plans: h.plans, device: h.device,
		relays: relays, switcher: switcher, closed: map[patch.Crosspoint]bool{},
	}
}

func TestKilledAtAnyPoint(t *testing.T) {
	h := newHouse(t)
	live := func(t *testing.T, seed uint64, deadline, again int) (points int) {
		synctest.Test(t, func(t *testing.T) {
			w := h.world(t)
			w.cleared = seed%2 == 0
			w.start(deadline)
			w.story(rand.New(rand.NewPCG(seed, 7)))
			if deadline == 0 {
				points = w.points
			}
			for w.isDead() {
				w.stop()
				w.turn(rand.New(rand.NewPCG(seed, uint64(deadline))))
				w.start(again)
				w.first()
				again = 0
				w.finish()
			}
			w.stop()
			if t.Failed() {
				t.Errorf("story %d, killed at %d and %d after", seed, deadline, again)
			}
		})
		return points
	}
	for seed := range uint64(stories) {
		points := live(t, seed, 0, 0)
		random := rand.New(rand.NewPCG(seed, 11))
		for range lives {
			again := 0
			if random.IntN(4) == 0 {
				again = 1 + random.IntN(200)
			}
			live(t, seed, 1+random.IntN(points), again)
			if t.Failed() {
				return
			}
		}
	}
}

// relayed is the wired room with a matrix of relays, on a line of bytes.
func relayed() *studio.Studio {
	s := wired()
	s.Matrices = s.Matrices[:1]
	s.Matrices[0].Kind = studio.Contacts
	s.Matrices[0].Device = &studio.Device{Description: "scpi-switch", Link: "serial:memory"}
	return s
}
