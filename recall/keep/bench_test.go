package keep_test

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/journal"
	"bayhand/recall/keep"
)

// ctx belongs to no bubble of synctest, as that of the test would.
var ctx = context.Background()

// bench is a made-up room on the table: one bay of eight pairs, two matrices, a
// planner, a journal that can be full.
type bench struct {
	t       testing.TB
	studio  *studio.Studio
	units   map[string]*unit
	planner *straightPlanner
	journal *journal.Fleeting
	// mu guards what the test changes while the keeper runs.
	mu    sync.Mutex
	files keep.Files
	// full is why the journal takes nothing.
	full   error
	kept   keptPatches
	last   written
	keeper *keep.Keeper
	stop   func()
}

// keptPatches are the patches that the keeper wrote into sessions.
type keptPatches struct {
	sync.Mutex
	patches map[string]patch.Patch
}

func (k *keptPatches) put(session string, p patch.Patch) {
	k.Lock()
	defer k.Unlock()
	k.patches[session] = p
}

func (k *keptPatches) of(session string) (patch.Patch, bool) {
	k.Lock()
	defer k.Unlock()
	p, ok := k.patches[session]
	return p, ok
}

func (k *keptPatches) count() int {
	k.Lock()
	defer k.Unlock()
	return len(k.patches)
}

func jack(text string) name.Point {
	p, err := name.Parse("main/" + text)
	if err != nil {
		panic(err)
	}
	return p
}

func cord(a, b string) patch.Cord { return patch.Cord{A: jack(a), B: jack(b)} }

func out(n int) name.Point { return name.At("grid", "out", n) }
func in(n int) name.Point  { return name.At("grid", "in", n) }

func cross(o, i int) patch.Crosspoint { return patch.Crosspoint{Output: out(o), Input: in(i)} }

func room() *studio.Studio {
	device := func(link string) *studio.Device { return &studio.Device{Description: "made-up", Link: link} }
	return &studio.Studio{
		Name: "Bench",
		Bays: []studio.Bay{{Name: "main", Modes: slices.Repeat([]studio.Mode{studio.Isolated}, 8)}},
		Gear: []studio.Gear{
			{Name: "speakers", Ports: []studio.Port{{Point: name.At("speakers", "in", 1), Direction: studio.Input}}},
			{Name: "synth", Ports: []studio.Port{{Point: name.At("synth", "out", 1), Direction: studio.Output}}},
		},
		Matrices: []studio.Matrix{
			{Name: "grid", Inputs: 4, Outputs: 4, Kind: studio.Amplifiers, Device: device("tcp:grid:1")},
			{Name: "far", Inputs: 2, Outputs: 2, Kind: studio.Amplifiers, Device: device("tcp:far:1")},
		},
		Drift: studio.Restore,
	}
}

func onBench(t *testing.T, test func(b *bench)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		test(b)
		b.end()
		for m, u := range b.units {
			if u.opened != 0 {
				t.Errorf("%d links to %s are still open", u.opened, m)
			}
		}
	})
}

func newBench(t testing.TB) *bench {
	s := room()
	b := &bench{
		t: t, studio: s, journal: &journal.Fleeting{}, kept: keptPatches{patches: map[string]patch.Patch{}},
		units: map[string]*unit{"grid": newUnit(), "far": newUnit()},
		planner: &straightPlanner{
			targets: map[string]patch.Patch{
				"tern":  {Cords: []patch.Cord{cord("t1", "b1"), cord("t2", "b2")}, Crosspoints: []patch.Crosspoint{{Output: name.At("far", "out", 1), Input: name.At("far", "in", 2)}, cross(1, 1), cross(2, 2)}},
				"heron": {Cords: []patch.Cord{cord("t1", "b3")}, Crosspoints: []patch.Crosspoint{cross(1, 3)}},
				"plain": {Crosspoints: []patch.Crosspoint{cross(1, 1), cross(2, 2)}},
			},
			late: map[name.Point]bool{out(2): true}, missing: map[string]string{},
		},
	}
	b.files = keep.Files{Studio: s, Sessions: map[string]*session.Session{}}
	for n := range b.planner.targets {
		b.files.Sessions[n] = &session.Session{Name: n, Program: -1, Notes: n, Wants: []session.Want{{Source: jack("t1"), Destination: jack("b1")}}}
	}
	return b
}

// Load and Write make the bench the keeper's journal, with a look at everything
// that is written: nothing may be claimed to be known that is not.
func (b *bench) Load() (keep.Memory, error) { return b.journal.Load() }

func (b *bench) Write(m keep.Memory, events []keep.Event) error {
	if err := b.isFull(); err != nil {
		return err
	}
	for _, matrix := range b.studio.Matrices {
		if u := b.units[matrix.Name]; u != nil {
			if wrong := u.wrong(matrix, m.Known); wrong != "" {
				b.t.Errorf("write %d: %s", b.journal.Writes(), wrong)
			}
		}
	}
	b.last.follows(b.t, m)
	return b.journal.Write(m, events)
}

func (b *bench) isFull() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.full
}

// set changes what the keeper finds when it looks the next time.
func (b *bench) set(do func()) {
	b.mu.Lock()
	defer b.mu.Unlock()
	do()
}

func (b *bench) read(context.Context, []string) keep.Files {
	b.mu.Lock()
	defer b.mu.Unlock()
	f := b.files
	f.Names = slices.Sorted(maps.Keys(f.Sessions))
	return f
}

func (b *bench) config() keep.Config {
	return keep.Config{
		Open: func(_ context.Context, m studio.Matrix) (keep.Matrix, error) {
			return b.units[m.Name].open()
		},
		Load:    b.read,
		Plan:    b.planner.plan,
		Journal: b,
		KeepPatch: func(_ context.Context, session string, p patch.Patch) error {
			b.kept.put(session, p)
			return nil
		},
	}
}

func (b *bench) start() {
	b.t.Helper()
	b.startWith(b.config())
}

func (b *bench) startWith(config keep.Config) {
	b.t.Helper()
	k, err := keep.New(config)
	if err != nil {
		b.t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- k.Run(ctx) }()
	b.keeper = k
	b.stop = func() {
		cancel()
		if err := <-ended; err != nil {
			b.t.Error(err)
		}
	}
}

func (b *bench) end() {
	if b.stop != nil {
		b.stop()
		b.stop = nil
	}
}

// restart ends the keeper and starts another one that remembers the first n
// writes; negative is all of them.
func (b *bench) restart(n int) {
	b.t.Helper()
	b.end()
	if n >= 0 {
		m, err := b.journal.After(n)
		if err != nil {
			b.t.Fatal(err)
		}
		b.journal = &journal.Fleeting{}
		if err := b.journal.Write(m, nil); err != nil {
			b.t.Fatal(err)
		}
	}
	b.start()
}

// pass lets time go by, and everything be done that it brings.
func (b *bench) pass(d time.Duration) {
	<-time.After(d)
	synctest.Wait()
}

func (b *bench) status() keep.Status {
	b.t.Helper()
	synctest.Wait()
	s, err := b.keeper.Status(context.Background())
	if err != nil {
		b.t.Fatal(err)
	}
	return s
}

func (b *bench) recall(session string) keep.Status {
	b.t.Helper()
	s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: session})
	if err != nil {
		b.t.Fatalf("recall %s: %v", session, err)
	}
	return s
}

func (b *bench) tick(ids ...string) keep.Status {
	b.t.Helper()
	s, err := asked(b.keeper, keep.Act{Do: keep.WereDone, IDs: ids})
	if err != nil {
		b.t.Fatalf("tick %v: %v", ids, err)
	}
	return s
}

func (b *bench) untick(ids ...string) keep.Status {
	b.t.Helper()
	s, err := asked(b.keeper, keep.Act{Do: keep.NotDone, IDs: ids})
	if err != nil {
		b.t.Fatalf("not %v: %v", ids, err)
	}
	return s
}

// wants fails unless the phase and the steps left are these.
func (b *bench) wants(s keep.Status, phase keep.Phase, left string) {
	b.t.Helper()
	if got := steps(s.Left); s.Phase != phase || got != left {
		b.t.Errorf("phase %s with left %q, want %s with %q; problems %v", s.Phase, got, phase, left, codes(s))
	}
}

func (b *bench) holds(want ...patch.Crosspoint) {
	b.t.Helper()
	got := map[name.Point]name.Point{}
	for _, u := range b.units {
		u.change(func(u *unit) { maps.Copy(got, u.inputs) })
	}
	wanted := map[name.Point]name.Point{}
	for _, c := range want {
		wanted[c.Output] = c.Input
	}
	if !maps.Equal(got, wanted) {
		b.t.Errorf("the matrices hold %v, want %v", got, wanted)
	}
}

// steps says which are left: each as ID and what it does.
func steps(all []plan.Step) string {
	var texts []string
	for _, s := range all {
		text := s.ID + " " + string(s.Do)
		for _, e := range s.Ends {
			text += " " + e.Port()
		}
		for _, c := range s.Crosspoints {
			text += " " + c.Output.String() + "=" + c.Input.Port()
		}
		texts = append(texts, text)
	}
	return strings.Join(texts, "; ")
}

func codes(s keep.Status) []string {
	var all []string
	for _, p := range s.Problems {
		if p.Code != "bay-assumed" {
			all = append(all, p.Code)
		}
	}
	return all
}

func problem(s keep.Status, code string) string {
	for _, p := range s.Problems {
		if p.Code == code {
			return p.Message
		}
	}
	return ""
}

func how(s keep.Status, output name.Point) string {
	for _, c := range s.Known.Crosspoints {
		if c.Output == output {
			return fmt.Sprintf("%s %s", c.How, c.Input.Port())
		}
	}
	return ""
}

func errorIs(t testing.TB, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Errorf("error %v, want one that is %v", err, want)
	}
}

func pass() studio.Pass {
	return studio.Pass{In: name.At("speakers", "in", 1), Out: name.At("synth", "out", 1)}
}

type opener = func(context.Context, studio.Matrix) (keep.Matrix, error)

// recordTries tells of each try to open one matrix.
func recordTries(open opener, matrix string, tried func()) opener {
	return func(ctx context.Context, m studio.Matrix) (keep.Matrix, error) {
		if m.Name == matrix {
			tried()
		}
		return open(ctx, m)
	}
}

// asked asks a keeper for an act. The error says also what devices have not done
// of an act that was taken.
func asked(k *keep.Keeper, act keep.Act) (keep.Status, error) {
	got, err := k.Act(ctx, act)
	return got.Status, errors.Join(err, got.Err())
}

// refused asks for an act where an error is expected.
func (b *bench) refused(act keep.Act, want error) {
	b.t.Helper()
	_, err := asked(b.keeper, act)
	errorIs(b.t, err, want)
}
