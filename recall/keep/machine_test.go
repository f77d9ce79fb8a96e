package keep

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// noon is the time of the first fact.
var noon = time.Date(2031, 5, 4, 12, 0, 0, 0, time.UTC)

// run brings facts to a machine and takes its decisions. After each it looks
// whether the machine before is what it was, and whether the same gives the same.
type run struct {
	t  *testing.T
	m  machine
	at time.Time
	// made is the answer of the planner.
	made *plan.Plan
}

func (r *run) pure(do func(m *machine) machine) machine {
	r.t.Helper()
	before := printed(r.t, r.m)
	one, two := do(&r.m), do(&r.m)
	if a, b := printed(r.t, one), printed(r.t, two); a != b || !reflect.DeepEqual(one.out, two.out) {
		r.t.Errorf("the same fact gives\n%s\nand\n%s", a, b)
	}
	if after := printed(r.t, r.m); after != before {
		r.t.Errorf("the machine was\n%s\nand is changed to\n%s", before, after)
	}
	return one
}

// address is where something is in memory.
var address = regexp.MustCompile(`0x[0-9a-f]+`)

// printed is all of a machine but its functions, and where things are.
func printed(t *testing.T, m machine) string {
	t.Helper()
	memory, err := json.Marshal(m.memory)
	if err != nil {
		t.Fatal(err)
	}
	m.memory, m.out, m.files, m.studio = Memory{}, effects{}, Files{}, nil
	return address.ReplaceAllString(fmt.Sprintf("%s\n%+v", memory, m), "")
}

func (r *run) fact(f fact) effects {
	r.t.Helper()
	r.at = r.at.Add(time.Second)
	r.m = r.pure(func(m *machine) machine { return m.apply(r.at, f) })
	return r.m.out
}

// settle takes every decision there is, and gives their effects.
func (r *run) settle() []effects {
	r.t.Helper()
	var all []effects
	for again := true; again; {
		again = false
		for _, d := range append(append(append([]decision{}, first...), then...), last...) {
			any := false
			after := r.pure(func(m *machine) machine {
				next, did := m.decide(r.at, d)
				any = did
				return next
			})
			if any {
				r.m, again = after, true
				all = append(all, after.out)
				if n := after.out.reading; n > 0 {
					r.fact(loadedAfter(r.m.studio, n, r.files()))
				}
				for _, q := range after.out.questions {
					made := func(question) (*plan.Plan, error) { return r.made, nil }
					r.fact(planned{q.number, q.workOut(made, withoutWaiting)})
				}
			}
		}
	}
	return all
}

func machineRoom() *studio.Studio {
	return &studio.Studio{
		Name: "Bench", Bays: []studio.Bay{{Name: "main", Modes: make([]studio.Mode, 4)}},
		Matrices: []studio.Matrix{{Name: "grid", Inputs: 2, Outputs: 2, Kind: studio.Amplifiers, Device: &studio.Device{Link: "tcp:x:1"}}},
	}
}

func newRun(t *testing.T) *run {
	out, in := name.At("grid", "out", 1), name.At("grid", "in", 2)
	made := &plan.Plan{Session: "tern", Given: true, Steps: []plan.Step{
		{ID: "1", By: "grid", Do: plan.Switch, Crosspoints: []plan.Change{{Output: out, Input: in}}},
		{ID: "2", By: plan.Person, Do: plan.Plug, Ends: []name.Point{name.At("main", "t", 1), name.At("main", "b", 2)}, After: []string{"1"}},
	}}
	made.Target.Crosspoints = []patch.Crosspoint{{Output: out, Input: in}}
	r := &run{t: t, at: noon}
	r.made = made
	r.m.settings = settings{poll: 5 * time.Second, retryFirst: time.Second, retryMost: time.Minute}
	r.fact(woken{})
	r.fact(loadedAfter(nil, 0, r.files()))
	return r
}

func (r *run) files() Files {
	return Files{Studio: machineRoom(), Sessions: map[string]*session.Session{"tern": {Name: "tern", Program: -1}}}
}

// A recall, from the act to the answer: the devices are asked, the files are read, the
// planner is asked, the recall is saved, the step is saved before it is sent, what was sent is read
// back, and only then is it answered.
func TestMachine(t *testing.T) {
	r := newRun(t)
	if r.m.stage() != starting {
		t.Errorf("before the device was asked it is %d", r.m.stage())
	}
	r.fact(result{device: 1, readsBack: true})
	if r.settle(); r.m.stage() != resting {
		t.Errorf("after its answer it is %d", r.m.stage())
	}
	r.fact(asked{ask{number: 7, act: Act{Do: ToRecall, Session: "tern"}}})
	if out := r.settle(); len(out) != 1 || len(out[0].orders) != 1 || out[0].orders[0].job.step != nil || r.m.stage() != yielding {
		t.Fatalf("an act does %+v, in %d", out, r.m.stage())
	}
	r.fact(result{device: 1, readsBack: true})
	out := r.settle()
	if len(out) != 5 || out[1].reading == 0 || out[1].sessions[0] != "tern" {
		t.Fatalf("it does %+v", out)
	}
	out = out[1:]
	if len(out[1].questions) != 1 || len(out[1].saves)+len(out[1].orders) > 0 {
		t.Errorf("the planner is asked by %+v", out[1])
	}
	if saves := out[2].saves; len(saves) != 1 || saves[0].events[0].Kind != Recalled || len(out[2].orders) > 0 {
		t.Errorf("the recall does %+v", out[2])
	}
	if saves := out[3].saves; len(saves) != 1 || saves[0].events[0].Kind != Sending || len(out[3].orders) != 1 {
		t.Errorf("its step does %+v", out[3])
	}
	r.sends()
}

// sends goes on when the step is at the device.
func (r *run) sends() {
	t := r.t
	s := r.m.devices.all[0]
	if s.job == nil || s.job.step == nil || r.m.stage() != switching {
		t.Fatalf("the device has %+v, in %d", s.job, r.m.stage())
	}
	if inputs, fact := r.m.memory.Known.inputs(name.At("grid", "out", 1)); len(inputs) != 0 || fact.How != NotKnown {
		t.Errorf("while it is sent it is said to be %v %v", inputs, fact.How)
	}
	sent := *s.job
	if out := r.fact(result{device: 1, job: sent, readsBack: true}); len(out.orders) != 1 || out.orders[0].job.proves == nil {
		t.Errorf("after it was sent: %+v", out)
	}
	read := []patch.Crosspoint{{Output: name.At("grid", "out", 1), Input: name.At("grid", "in", 2)}}
	r.fact(result{device: 1, job: job{proves: sent.step}, readsBack: true, closed: read})
	out := r.settle()
	if len(out) != 1 || len(out[0].answers) != 1 || out[0].answers[0].ask != 7 || out[0].answers[0].err != nil {
		t.Errorf("answered is %+v", out)
	}
	if phase := (view{&r.m}).phase(); phase != Waiting {
		t.Errorf("it is %s", phase)
	}
}

// What cannot be saved is not done; what a device did is so all the same, and is
// written with the next that can be.
func TestMachineOnAFullDisk(t *testing.T) {
	store := &scarce{err: errors.New("no space left")}
	k := &Keeper{config: Config{Journal: store}.withDefaults(), workers: map[int]*worker{}, callers: map[int]chan reply{}}
	r := newRun(t)
	r.fact(result{device: 1, readsBack: true})
	r.settle()
	k.machine = r.m
	pulled := result{device: 1, err: errors.New("pulled")}
	if !k.accept(t.Context(), k.machine.apply(r.at, pulled)) || k.machine.devices.all[0].answers {
		t.Error("a device that went while the disk was full is said to answer")
	}
	if len(k.machine.journal.unwritten) != 1 || k.machine.stage() != halted {
		t.Errorf("not written is %+v, in %d", k.machine.journal, k.machine.stage())
	}
	reply := make(chan reply, 1)
	k.callers[9] = reply
	k.take(t.Context(), asked{ask{number: 9, act: Act{Do: Faulty, A: name.At("main", "t", 1)}}})
	if k.decide(t.Context(), beginAsk); !errors.Is((<-reply).err, ErrJournal) || len(k.machine.memory.Tags) > 0 || len(k.machine.asks.waiting) > 0 {
		t.Errorf("an act that could not be written: %+v", k.machine.memory.Tags)
	}
	store.err = nil
	later, any := k.machine.decide(k.machine.journal.again, retryJournal)
	if !any || !k.accept(t.Context(), later) || len(store.events) != 1 || k.machine.journal.trouble != nil {
		t.Errorf("written later: %+v, %+v", store.events, k.machine.journal)
	}
}

// scarce is a journal that cannot always be written.
type scarce struct {
	err    error
	events []Event
}

func (s *scarce) Load() (Memory, error) { return Memory{}, nil }

func (s *scarce) Write(_ Memory, events []Event) error {
	if s.err == nil {
		s.events = append(s.events, events...)
	}
	return s.err
}
