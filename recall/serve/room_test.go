package serve

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"
	"testing"
	"time"

	"bayhand/model/effect"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/simulators/leaks"
)

func TestMain(m *testing.M) { leaks.TestMain(m) }

// tooLong is how long a test waits that fails anyway.
const tooLong = time.Minute

// fake is a room that writes down what it is asked and answers what it is told
// to.
type fake struct {
	// mu guards the fields below.
	mu     sync.Mutex
	calls  []string
	status keep.Status
	err    error
	// unfinished is what is left of every act.
	unfinished []keep.Unfinished
	// does is what every act does.
	does    *effect.Effect
	streams []chan keep.Status
	// holds keeps a recall waiting until its context ends.
	holds bool
	held  chan struct{}
}

var _ keep.Room = (*fake)(nil)

func (f *fake) say(format string, args ...any) (keep.Status, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.calls = append(f.calls, fmt.Sprintf(format, args...))
	return f.status, f.err
}

func (f *fake) last() string {
	f.mu.Lock()
	defer f.mu.Unlock()
	if len(f.calls) == 0 {
		return ""
	}
	return f.calls[len(f.calls)-1]
}

func (f *fake) answers(s keep.Status, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.status, f.err = s, err
}

func (f *fake) Status(context.Context) (keep.Status, error) { return f.say("status") }

// Act writes the act down as its JSON, with who asks.
func (f *fake) Act(ctx context.Context, act keep.Act) (keep.Answer, error) {
	f.mu.Lock()
	holds := f.holds
	f.mu.Unlock()
	if holds {
		close(f.held)
		<-ctx.Done()
		return keep.Answer{}, ctx.Err()
	}
	text, err := json.Marshal(act)
	if err != nil {
		return keep.Answer{}, err
	}
	if err := act.Check(); err != nil {
		return keep.Answer{}, err
	}
	status, err := f.say("%s by %s", text, act.By)
	return keep.Answer{Status: status, Unfinished: f.unfinished, Took: []string{}, Waits: []keep.Later{}, Does: f.does}, err
}

func (f *fake) Events(ctx context.Context) (<-chan keep.Status, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.err != nil {
		return nil, f.err
	}
	c := make(chan keep.Status, 1)
	f.streams = append(f.streams, c)
	context.AfterFunc(ctx, func() {
		f.mu.Lock()
		defer f.mu.Unlock()
		close(c)
		for i, s := range f.streams {
			if s == c {
				f.streams = append(f.streams[:i], f.streams[i+1:]...)
				return
			}
		}
	})
	return c, nil
}

// post puts a status into every stream, in the place of one that nobody took.
func (f *fake) post(s keep.Status) int {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, c := range f.streams {
		select {
		case <-c:
		default:
		}
		c <- s
	}
	return len(f.streams)
}

// whole is a status with something in every field.
func whole() keep.Status {
	when := time.Date(2031, 5, 4, 10, 20, 30, 0, time.UTC)
	fact := keep.Fact{How: keep.Sent, Since: when}
	t1, b2, out, in := name.At("main", "t", 1), name.At("main", "b", 2), name.At("grid", "out", 1), name.At("grid", "in", 2)
	step := plan.Step{ID: "3", By: plan.Person, Do: plan.Plug, Ends: []name.Point{t1, b2}, After: []string{"1"}, Because: "so"}
	switched := plan.Step{ID: "1", By: "grid", Do: plan.Switch, Crosspoints: []plan.Change{{Output: out, Input: in}}, After: []string{}}
	cord := patch.Cord{A: t1, B: b2}
	return keep.Status{
		Seq: 7, Studio: "Bench", Session: "tern", Recall: 2, Phase: keep.Waiting,
		Rooms: []keep.RoomStatus{{Room: "live", Session: "tern", LeaveCords: true}, {Room: "mix"}},
		Plan: &plan.Plan{Session: "tern", Given: true, Plugs: 2, Least: 2,
			Moves: []plan.Move{{ID: "3", Do: plan.Plug, Ends: step.Ends}}, Crosspoints: []plan.Change{{Output: out, Input: in}},
			Target: plan.Target{Cords: []patch.Cord{cord}, Crosspoints: []patch.Crosspoint{{Output: out, Input: in}}, Dummies: []name.Point{}},
			Steps:  []plan.Step{switched, step}, Missing: []plan.Missing{}, Losses: []plan.Loss{{Destination: b2, Source: t1}}},
		Left: []plan.Step{step, {ID: "4", By: plan.Person, Do: plan.ChangeOver, After: []string{}, Because: "so", Carried: []studio.Pass{{In: in, Out: out}},
			Carries: []studio.Pass{{In: b2, Out: t1}}}}, Done: []keep.DoneStep{{Step: switched, Fact: fact}},
		Known: keep.Known{
			Cords: []keep.KnownCord{{Cord: cord, Fact: fact}, {Cord: patch.Cord{A: t1, Poles: 2}, Fact: fact}},
			Leads: []keep.KnownLead{{Lead: patch.Lead{Port: in, Jack: b2}, Fact: fact}}, Dummies: []keep.KnownDummy{{Jack: t1, Fact: fact}},
			Crosspoints: []keep.KnownCrosspoint{{Output: out, Input: in, Fact: fact}, {Output: name.At("grid", "out", 2), Fact: fact}},
		},
		Guests: []keep.Guest{}, Inside: []studio.Pass{}, Silenced: []keep.Silenced{}, WriteOnly: []string{},
		Tags:     []keep.Tag{{Jack: b2, Fact: fact}},
		Matrices: []keep.MatrixStatus{{Name: "grid", Link: "tcp:x:1", Driven: true, Answers: true, ReadsBack: true, Identity: "i", Expected: "e", Problem: "p"}},
		Problems: []keep.Problem{{Code: "drift", Severity: "warning", Message: "m\n\"é", Since: when,
			Remedies: []keep.Act{{Do: keep.ToPutBack, Matrix: "grid"}, {Do: keep.ToRecall, Session: "tern", Options: keep.RecallOptions{LeaveCords: true}}}}},
	}
}
