package conformance_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/drivers/link"
	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/journal"
	"bayhand/recall/keep"
)

// keptRoom is a room with one stranger, kept by the keeper of the house.
type keptRoom struct {
	t      *testing.T
	device *device.Description
	matrix studio.Matrix
	of     kind
	s      *stranger
	files  keep.Files
	plans  *plans
	keeper *keep.Keeper
	random *rand.Rand

	// countMu guards the field below.
	countMu sync.Mutex
	ends    outcomes

	// mu guards the fields below.
	mu     sync.Mutex
	cable  *cable
	faults []fault
	talks  sync.WaitGroup
}

func (r *keptRoom) count(end string, n int) {
	r.countMu.Lock()
	defer r.countMu.Unlock()
	r.ends[end] += n
}

// plans remembers plans: the same question has the same answer, and is asked thousands
// of times here.
type plans struct {
	mu    sync.Mutex
	known map[string][]byte
}

func (p *plans) plan(ctx context.Context, ask plan.Request) (*plan.Plan, error) {
	key, err := json.Marshal([]any{ask.From, ask.Session, ask.FirstID})
	if err != nil {
		return nil, err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.known[string(key)] == nil {
		made, err := planner.Make(ctx, ask)
		if err != nil {
			return nil, err
		}
		if p.known[string(key)], err = json.Marshal(made); err != nil {
			return nil, err
		}
	}
	var made plan.Plan
	return &made, json.Unmarshal(p.known[string(key)], &made)
}

// kept is the driver as the keeper has it. What it reads is held against the truth at
// the moment in which it is read, unless a hand was at the device meanwhile.
type kept struct {
	*matrix.Matrix
	room *keptRoom
}

func (k kept) Read(ctx context.Context) ([]patch.Crosspoint, error) {
	before := k.room.s.touched()
	read, err := k.Matrix.Read(ctx)
	unclear := new(matrix.UnclearError)
	if err != nil && !errors.As(err, &unclear) {
		k.room.count("not known", 1)
		return read, err
	}
	held := slices.DeleteFunc(k.room.s.holds(), func(c patch.Crosspoint) bool { return slices.Contains(unclear.Outputs, c.Output) })
	switch {
	case k.room.s.touched() != before:
		k.room.count("a hand was at it", 1)
	case !slices.Equal(read, held):
		k.room.t.Errorf("a false reading: %v, and it holds %v", read, k.room.s.holds())
	default:
		k.room.count("verified", 1)
	}
	return read, err
}

func (k kept) Report(ctx context.Context) (keep.Report, error) {
	select {
	case got, open := <-k.Reports():
		if !open {
			return keep.Report{}, link.ErrGone
		}
		return keep.Report{Closed: got.Closed, Off: got.Off}, nil
	case <-ctx.Done():
		return keep.Report{}, ctx.Err()
	}
}

// touched counts what was changed from elsewhere than the line.
func (s *stranger) touched() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.hands
}

func (r *keptRoom) open(_ context.Context, m studio.Matrix) (keep.Matrix, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	c := newCable(31250, false, r.faults)
	r.cable, r.faults = c, nil
	r.talks.Go(func() { r.s.talk(c) })
	driven, err := matrix.New(r.device, m, driverEnd{c}, matrix.SystemClock{})
	if err != nil {
		return nil, err
	}
	return kept{driven, r}, nil
}

// keptSessions are sessions of a room of four players at the inputs and four recorders at
// the outputs.
func keptSessions(m studio.Matrix, of kind) map[string]*session.Session {
	all := map[string]*session.Session{}
	for n := range 5 {
		s := &session.Session{Name: fmt.Sprintf("s%d", n), Program: -1}
		random := rand.New(rand.NewPCG(uint64(n), 7))
		for i, c := range of.target(m, random) {
			s.Wants = append(s.Wants, session.Want{Destination: name.At("recorder", "in", c.Output.Number), Source: name.At("player", "out", c.Input.Number), Chain: i, Key: fmt.Sprintf("connect[%d]", i)})
		}
		all[s.Name] = s
	}
	return all
}

func keptStudio(m studio.Matrix) *studio.Studio {
	pro := studio.BuiltInLines()[0]
	player, recorder := studio.Gear{Name: "player"}, studio.Gear{Name: "recorder"}
	s := &studio.Studio{Name: "Bench", Matrices: []studio.Matrix{m}, Drift: studio.Restore}
	for n := 1; n < 5; n++ {
		from, to := name.At("player", "out", n), name.At("recorder", "in", n)
		player.Ports = append(player.Ports, studio.Port{Point: from, Direction: studio.Output, Line: pro})
		recorder.Ports = append(recorder.Ports, studio.Port{Point: to, Direction: studio.Input, Line: pro})
		s.Wires = append(s.Wires, studio.Wire{From: from, To: m.In(n)}, studio.Wire{From: m.Out(n), To: to})
	}
	s.Gear = []studio.Gear{player, recorder}
	return s
}

// Through the keeper of the house each stranger is recalled, turned by hand, made busy,
// refused, spoilt, lost on the way, unplugged and switched off. Nothing that is read
// back is otherwise than the device; once all is well again the session is given and
// the device has it. One that cannot be asked is never said to be read, and is sent to
// after each time its link was opened.
func TestStrangersAreKept(t *testing.T) {
	t.Setenv("BAYHAND_TEST_WORD", "heron")
	for title, d := range manuals(t) {
		t.Run(title, func(t *testing.T) {
			ends, remembered := outcomes{}, &plans{known: map[string][]byte{}}
			all := lives(t, 3)
			for _, seed := range all {
				synctest.Test(t, func(t *testing.T) { keptLife(t, d, kindOf(title), seed, remembered, ends) })
			}
			t.Log(ends)
			if !kindOf(title).deaf && ends["verified"] < 4*len(all) || ends["given"] != len(all) {
				t.Errorf("of %d lives: %v", len(all), ends)
			}
		})
	}
}

func keptLife(t *testing.T, d *device.Description, of kind, seed uint64, remembered *plans, ends outcomes) {
	random := rand.New(rand.NewPCG(seed, 43))
	s, m := newStranger(d, of, random)
	r := &keptRoom{t: t, device: d, matrix: m, of: of, s: s, plans: remembered, ends: ends, random: random}
	r.files = keep.Files{Studio: keptStudio(m), Sessions: keptSessions(m, of)}
	r.files.Names = slices.Sorted(maps.Keys(r.files.Sessions))
	k, err := keep.New(keep.Config{
		Open: r.open, Load: func(context.Context, []string) keep.Files { return r.files }, Plan: remembered.plan, Journal: &journal.Fleeting{},
		Refused: func(err error) bool { return errors.Is(err, matrix.ErrRefused) }, RetryMost: 4 * time.Second,
	})
	if err != nil {
		t.Fatal(err)
	}
	r.keeper = k
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- k.Run(ctx) }()
	for range 6 {
		r.happens()
		<-time.After(time.Duration(random.IntN(8000)) * time.Millisecond)
		synctest.Wait()
		r.judge()
	}
	r.mended()
	cancel()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	r.talks.Wait()
}

// happens is one thing that happens in the room.
func (r *keptRoom) happens() {
	switch r.random.IntN(6) {
	case 0, 1, 2:
		r.recall()
	case 3:
		r.s.turn(1+r.random.IntN(4), r.of.turnedTo(r.random))
	case 4:
		r.count("troubles", 1)
		r.s.powerLost()
		r.unplug()
	case 5:
		r.mu.Lock()
		for range 1 + r.random.IntN(3) {
			r.count("troubles", 1)
			r.faults = append(r.faults, randomFault(r.random, 120, 150*time.Millisecond))
		}
		r.mu.Unlock()
		r.unplug()
	}
}

func (r *keptRoom) unplug() {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.cable != nil {
		r.cable.unplug()
	}
}

// recall asks for a session; whether it was given the status says.
func (r *keptRoom) recall() keep.Status {
	answer, err := r.keeper.Act(context.Background(), keep.Act{Do: keep.ToRecall, Session: r.files.Names[r.random.IntN(len(r.files.Names))]})
	if err == nil {
		err = answer.Err()
	}
	if err != nil {
		r.count("not given at once", 1)
	}
	return answer.Status
}

// judge holds what is shown as read against the truth, where no hand was at the device
// for longer than it takes to see it.
func (r *keptRoom) judge() {
	status, err := r.keeper.Status(context.Background())
	if err != nil {
		r.t.Fatal(err)
	}
	held := r.s.holds()
	for _, c := range status.Known.Crosspoints {
		switch {
		case c.How == keep.Read && r.of.deaf:
			r.t.Errorf("%s of a device that cannot be asked is said to be read", c.Output)
		case c.How != keep.Read || !c.Since.After(r.s.lastHand()):
		case c.Input.IsZero() && slices.ContainsFunc(held, func(h patch.Crosspoint) bool { return h.Output == c.Output }),
			!c.Input.IsZero() && !slices.Contains(held, patch.Crosspoint{Output: c.Output, Input: c.Input}):
			r.t.Errorf("shown as read since %v: %s %s, and it holds %v", c.Since, c.Output, c.Input, held)
		}
	}
}

// mended takes all troubles away, and recalls a session, which has to be given.
func (r *keptRoom) mended() {
	r.s.mu.Lock()
	r.count("troubles", r.s.met)
	r.s.busy, r.s.refuse, r.s.lose, r.s.spoil = 0, 0, 0, 0
	r.s.mu.Unlock()
	r.mu.Lock()
	r.faults = nil
	r.mu.Unlock()
	r.s.powerLost()
	r.unplug()
	<-time.After(time.Minute)
	status := r.recall()
	for range 5 {
		if status.Phase == keep.Given {
			break
		}
		<-time.After(20 * time.Second)
		status = r.recall()
	}
	synctest.Wait()
	if status.Phase != keep.Given {
		r.t.Errorf("all is well, and it is %s: %v", status.Phase, status.Problems)
		return
	}
	want := status.Known.Patch().Crosspoints
	if held := r.s.holds(); !slices.Equal(want, held) {
		r.t.Errorf("given is %v, and it holds %v", want, held)
	}
	r.count("given", 1)
}
