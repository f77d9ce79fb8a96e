package gate_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bayhand/model/house"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/border"
	"bayhand/recall/gate"
	"bayhand/recall/journal"
	"bayhand/recall/keep"
)

// building is a house of two hosts with a room each and a machine room between them.
type building struct {
	t        *testing.T
	studio   *studio.Studio
	sessions map[string]*session.Session
	house    house.House
	table    border.Border
	// retell is how often the hosts tell of themselves; 0 is the usual.
	retell time.Duration
	// planning is called before the keeper plans; nil for nothing.
	planning func()
	// memo and its lines on their way back are what the next host has of a table in servers; nil
	// for none.
	memo      *gate.Memo
	returning []border.Place
}

func read(t *testing.T, file string) []byte {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("testdata", file))
	if err != nil {
		t.Fatal(err)
	}
	return src
}

func newBuilding(t *testing.T) *building {
	t.Helper()
	b := &building{t: t, sessions: map[string]*session.Session{}}
	s, _, problems := text.ReadStudio("studio.yaml", read(t, "studio.yaml"))
	if problems.Errors() {
		t.Fatal(problems)
	}
	b.studio = s
	for _, called := range []string{"heron", "tern", "gull"} {
		one, _, problems := text.ReadSession(called+".yaml", read(t, called+".yaml"), s, nil)
		if problems.Errors() {
			t.Fatal(problems)
		}
		b.sessions[called] = one
	}
	h, _, problems := text.ReadHouse("house.yaml", read(t, "house.yaml"), s)
	if problems.Errors() {
		t.Fatal(problems)
	}
	b.house = *h
	table, err := border.NewMemory(border.File(filepath.Join(t.TempDir(), border.FileName)), time.Now)
	if err != nil {
		t.Fatal(err)
	}
	b.table = &cable{Border: table}
	return b
}

// cable is the way to a table, which can be cut.
type cable struct {
	border.Border
	// mu guards the fields below.
	mu  sync.Mutex
	cut *border.Cut
	// silent is true while requests arrive and answers do not.
	silent bool
	// wrong is why servers that answer are not to be used; nil for no answer.
	wrong error
}

func (c *cable) deaf(is bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.silent = is
}

func (c *cable) hears() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return !c.silent
}

func (c *cable) pull(why *border.Cut) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.cut = why
}

func (c *cable) is() *border.Cut {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.cut
}

func (c *cable) View(ctx context.Context) (border.View, error) {
	view, err := c.Border.View(ctx)
	if cut := c.is(); cut != nil {
		view.Cut = cut
		if c.wrong != nil {
			return view, c.wrong
		}
		return view, border.ErrUnreached
	}
	return view, err
}

// Watch tells of a cut as the servers' own border does.
func (c *cable) Watch(ctx context.Context) <-chan border.View {
	views := make(chan border.View)
	go func() {
		defer close(views)
		for v := range c.Border.Watch(ctx) {
			v.Cut = c.is()
			select {
			case views <- v:
			case <-ctx.Done():
			}
		}
	}()
	return views
}

func (c *cable) Act(ctx context.Context, act border.Act) (border.View, error) {
	if c.is() != nil {
		return c.View(ctx)
	}
	view, err := c.Border.Act(ctx, act)
	if !c.hears() {
		return border.View{}, border.ErrUnreached
	}
	return view, err
}

// host starts the keeper and the gate of a host. They end with the test.
func (b *building) host(called string) *gate.Gate { return b.hostWith(called, b.house, "digest") }

// hostWith is host with files of its own.
func (b *building) hostWith(called string, file house.House, digest string) *gate.Gate {
	return b.hostReading(called, file, func() string { return digest })
}

// hostReading is hostWith, with a studio's file that may change.
func (b *building) hostReading(called string, file house.House, digest func() string) *gate.Gate {
	b.t.Helper()
	host, _ := file.Host(called)
	files := keep.Files{Studio: b.studio, Sessions: b.sessions}
	config := keep.Config{
		Open: func(context.Context, studio.Matrix) (keep.Matrix, error) { return nil, errors.New("no matrix") },
		Load: func(context.Context, []string) keep.Files { return files },
		Plan: b.plan, Journal: &journal.Fleeting{}, Shut: gate.Shut(b.studio, host, border.Table{}), Poll: -1,
	}
	var g *gate.Gate
	config.Notes = func() []keep.Problem { return g.Problems() }
	keeper, err := keep.New(config)
	if err != nil {
		b.t.Fatal(err)
	}
	g, err = gate.New(gate.Config{
		House: file, Host: called, Border: b.table, Plan: planner.Make, Now: time.Now, Machine: "machine of " + called, Retell: b.retell,
		Memo: b.memo, Returning: b.returning,
		Studio:  func() (*studio.Studio, string, error) { return b.studio, digest(), nil },
		Session: func(name string) *session.Session { return b.sessions[name] },
	}, keeper)
	if err != nil {
		b.t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 2)
	go func() { ended <- keeper.Run(ctx) }()
	go func() { ended <- g.Run(ctx) }()
	b.t.Cleanup(func() {
		stop()
		if err := errors.Join(<-ended, <-ended); err != nil {
			b.t.Error(err)
		}
	})
	return g
}

func (b *building) plan(ctx context.Context, ask plan.Request) (*plan.Plan, error) {
	if b.planning != nil {
		b.planning()
	}
	return planner.Make(ctx, ask)
}

func (b *building) do(g *gate.Gate, act keep.Act, want error) keep.Answer {
	b.t.Helper()
	answer, err := g.Act(b.t.Context(), act)
	if !errors.Is(err, want) || (err == nil) != (want == nil) {
		b.t.Fatalf("%+v: got %v, want %v", act, err, want)
	}
	return answer
}

// until waits for a table, however long it takes.
func (b *building) until(what string, is func(border.Table) bool) {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.t.Context(), time.Minute)
	defer stop()
	for v := range b.table.Watch(ctx) {
		if is(v.Table) {
			return
		}
	}
	b.t.Fatalf("never: %s", what)
}

func recall(session string) keep.Act { return keep.Act{Do: keep.ToRecall, Session: session} }

func point(t *testing.T, text string) name.Point {
	t.Helper()
	p, err := name.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The tape is in no room: one host's room has it, the other is told who, and gets it when
// the cords are out.
func TestOneMachineForTwoRooms(t *testing.T) {
	b := newBuilding(t)
	north, south := b.host("north"), b.host("south")
	b.do(north, recall("heron"), nil)
	if view, _ := b.table.View(t.Context()); view.Table.Holds["tape"].Room != "live" {
		t.Fatalf("the plan is given, and the table has %v", view.Table.Holds)
	}
	b.do(north, keep.Act{Do: keep.WereDone, All: true}, nil)
	_, err := south.Act(t.Context(), recall("tern"))
	if !errors.Is(err, keep.ErrNotGiven) || !strings.Contains(err.Error(), "room live holds tape for heron") {
		t.Fatalf("south gets %v", err)
	}
	b.do(north, recall(keep.RestName), nil)
	if view, _ := b.table.View(t.Context()); view.Table.Holds["tape"].Room != "live" {
		t.Error("the tape is given back while cords are in it")
	}
	b.do(north, keep.Act{Do: keep.WereDone, All: true}, nil)
	b.until("the tape is free", func(t border.Table) bool { return len(t.Holds) == 0 })
	b.do(south, recall("tern"), nil)
	if view, _ := b.table.View(t.Context()); view.Table.Holds["tape"].Room != "mix" {
		t.Errorf("the table has %v", view.Table.Holds)
	}
}

// A preview claims nothing, and says what a recall would do.
func TestPreviewClaimsNothing(t *testing.T) {
	b := newBuilding(t)
	north := b.host("north")
	answer := b.do(north, keep.Act{Do: keep.ToPreview, Session: "heron"}, nil)
	if answer.Plan == nil || !answer.Plan.Given {
		t.Errorf("the plan is %+v", answer.Plan)
	}
	if view, _ := b.table.View(t.Context()); len(view.Table.Holds) > 0 {
		t.Errorf("the table has %v", view.Table.Holds)
	}
}

// A room that is cut off goes on with what it holds, and gets no more.
func TestCutOff(t *testing.T) {
	b := newBuilding(t)
	north := b.host("north")
	b.do(north, recall("heron"), nil)
	b.do(north, keep.Act{Do: keep.WereDone, All: true}, nil)
	b.table.(*cable).pull(&border.Cut{Since: time.Now(), Why: "it does not answer"})
	b.do(north, recall("heron"), nil)
	south := b.host("south")
	if _, err := south.Act(t.Context(), recall("tern")); !errors.Is(err, keep.ErrNotGiven) || !strings.Contains(err.Error(), "the lines that rooms share is not reached since") {
		t.Errorf("south gets %v", err)
	}
	b.do(south, recall("gull"), nil) // needs no shared line
}

func TestSessionOfAnotherHost(t *testing.T) {
	b := newBuilding(t)
	_, err := b.host("south").Act(t.Context(), recall("heron"))
	if !errors.Is(err, keep.ErrConflict) || !strings.Contains(err.Error(), "heron is in room live, which host north keeps; recall it there: http://north:7420") {
		t.Errorf("got %v", err)
	}
	if _, err := gate.New(gate.Config{House: b.house, Host: "west"}, nil); err == nil || !strings.Contains(err.Error(), "it has north, south") {
		t.Errorf("got %v", err)
	}
}

// What a person plugs is claimed where nobody holds it; against the table it is shown as
// what it is, and changes nothing there.
func TestPluggedAgainstTheTable(t *testing.T) {
	b := newBuilding(t)
	north, south := b.host("north"), b.host("south")
	b.do(north, keep.Act{Do: keep.Plugged, A: point(t, "core/t5"), B: point(t, "core/t1")}, nil)
	b.until("the tape is claimed", func(t border.Table) bool { return t.Holds["tape"].Room == "live" })
	b.do(south, keep.Act{Do: keep.Plugged, A: point(t, "core/b6"), B: point(t, "core/b3")}, nil)
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
	defer stop()
	events, err := south.Events(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for s := range events {
		if slices.ContainsFunc(s.Problems, func(p keep.Problem) bool {
			return p.Code == "held-elsewhere" && strings.HasPrefix(p.Message, "tape is plugged here, and room live holds it")
		}) {
			break
		}
	}
	if view, _ := b.table.View(t.Context()); ctx.Err() != nil || view.Table.Holds["tape"].Room != "live" {
		t.Errorf("the table has %v, south says %v", view.Table.Holds, south.Problems())
	}
}
