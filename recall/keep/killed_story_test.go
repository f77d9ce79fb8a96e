package keep_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/drivers/descriptions/shipped"
	driver "bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/journal"
	"bayhand/recall/keep"
	"bayhand/simulators/matrix"
	"bayhand/simulators/scpi"
)

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

// first looks at what a new keeper shows as soon as it shows anything. The first status of
// all may be of the past by the time that the relays are kept from moving.
func (w *world) first() {
	_, err := w.keeper.Status(ctx) // which waits for the first
	w.mu.Lock()
	defer w.mu.Unlock()
	if s, now := w.keeper.Status(ctx); err == nil && now == nil {
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
	s := relayed()
	h := house{
		studio: s, room: heard.NewRoom(s), judged: map[string]string{}, device: shipped.Named(t, "scpi-switch"), plans: &planned{map[string][]byte{}},
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
