package keep

import (
	"context"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/simulators/rooms/buildings"
)

// written is a journal that takes everything.
type written struct {
	// mu guards the field below.
	mu     sync.Mutex
	memory Memory
}

func (w *written) Load() (Memory, error) { return Memory{}, nil }

func (w *written) Write(m Memory, _ []Event) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.memory = m
	return nil
}

// storeys is a keeper of a building whose rooms each hold a session, all given but those
// of which cords are left.
type storeys struct {
	t      *testing.T
	rooms  buildings.Building
	keeper *Keeper
	// planner lets each plan be made, once it is closed to hold them up.
	mu   sync.Mutex
	hold chan struct{} // nil where no plan is held up
	at   chan struct{} // has one for each plan that is held up
}

func (s *storeys) plan(ctx context.Context, ask plan.Request) (*plan.Plan, error) {
	s.mu.Lock()
	hold := s.hold
	s.mu.Unlock()
	if hold != nil {
		s.at <- struct{}{}
		select {
		case <-hold:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	return planner.Make(ctx, ask)
}

func newStoreys(t *testing.T, rooms int) *storeys {
	s := &storeys{t: t, rooms: buildings.Draw(buildings.Size{Rooms: rooms, Matrices: 1, Pairs: 28, Units: 2}, 1), at: make(chan struct{}, 100)}
	files := Files{Studio: s.rooms.Studio, Sessions: map[string]*session.Session{}}
	for _, two := range s.rooms.Sessions {
		files.Sessions[two[0].Name], files.Sessions[two[1].Name] = two[0], two[1]
	}
	var err error
	s.keeper, err = New(Config{
		Open:    func(context.Context, studio.Matrix) (Matrix, error) { return nil, ErrNoAnswer },
		Load:    func(context.Context, []string) Files { return files },
		Plan:    s.plan,
		Journal: &written{},
	})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.keeper.Run(ctx) }()
	t.Cleanup(func() {
		cancel()
		<-ended
	})
	for room := range s.rooms.Sessions {
		s.act(Act{Do: ToRecall, Session: s.rooms.Sessions[room][0].Name})
	}
	return s
}

func (s *storeys) act(act Act) Answer {
	s.t.Helper()
	got, err := s.keeper.Act(s.t.Context(), act)
	if err != nil {
		s.t.Fatalf("%s: %v", act.Do, err)
	}
	return got
}

// recallBeside recalls the other session of a room, and gives the channel of its outcome.
func (s *storeys) recallBeside(room int) <-chan error {
	done := make(chan error, 1)
	events, err := s.keeper.Events(s.t.Context())
	if err != nil {
		s.t.Fatal(err)
	}
	called := s.rooms.Sessions[room][1].Name
	go func() {
		_, err := s.keeper.Act(context.Background(), Act{Do: ToRecall, Session: called})
		done <- err
	}()
	for at := range events {
		if slices.ContainsFunc(at.Problems, func(p Problem) bool { return p.Code == "planning" && strings.Contains(p.Message, called) }) {
			break
		}
	}
	return done
}

// goesOn has done what waits for no plan: ticks in several rooms, a word that the bay is
// unchanged, a look at the files, a ping.
func (s *storeys) goesOn(while string, done <-chan error) {
	s.t.Helper()
	status, err := s.keeper.Status(s.t.Context())
	if err != nil {
		s.t.Fatal(err)
	}
	ticked := 0
	for _, step := range status.Left {
		if len(step.After) == 0 && step.By == plan.Person && ticked < 3 {
			s.act(Act{Do: WereDone, IDs: []string{step.ID}})
			ticked++
		}
	}
	if ticked == 0 {
		s.t.Fatal("no room leaves a step to tick")
	}
	s.act(Act{Do: StillSo})
	s.keeper.Look()
	if err := s.keeper.Ping(s.t.Context()); err != nil {
		s.t.Fatal(err)
	}
	select {
	case err := <-done:
		s.t.Fatalf("%s the recall is answered: %v", while, err)
	default:
	}
}

// In a building of many rooms whatever hands did is taken while the studio is being cut
// for another room, however long that takes, and while its plan is being made.
func TestNothingLongInTheLoop(t *testing.T) {
	s := newStoreys(t, 4)
	for range cap(s.keeper.turns.cut) {
		s.keeper.turns.cut <- struct{}{} // from now on every cut waits
	}
	done := s.recallBeside(0)
	s.goesOn("while the studio is cut", done)
	s.mu.Lock()
	s.hold = make(chan struct{})
	s.mu.Unlock()
	for range cap(s.keeper.turns.cut) {
		<-s.keeper.turns.cut
	}
	<-s.at
	s.goesOn("while the plan is made", done)
	s.mu.Lock()
	close(s.hold)
	s.hold = nil
	s.mu.Unlock()
	if err := <-done; err != nil {
		t.Error(err)
	}
}

// What takes longer than the loop may is called where nothing waits for it: by what works
// out the answer to an inquiry, by readings, and by who only looks. Whoever calls it from
// elsewhere has the loop do it.
func TestLongWorkIsBesideTheLoop(t *testing.T) {
	want := map[string][]string{
		"Scope":       {"answering.cutTo", "answering.uses"},
		"Widened":     {"answering.cutTo", "answering.uses"},
		"cutTo":       {"answering.question"},
		"uses":        {"answering.lacking", "answering.tooFew"},
		"question":    {"NewPreview", "answering.planOf"},
		"workOut":     {"Keeper.put"},
		"Plan":        {"Keeper.put"},
		"NewRoom":     {"Remembered", "hearPatch", "loadedAfter", "touched.effect"},
		"effect":      {"Keeper.Act"},
		"hearPatch":   {"answering.off", "settles.hear"},
		"NewBuilding": {"newSite"},
		"newSite":     {"NewPreview", "Otherwise", "loadedAfter", "newer", "planning.site"},
		"loadedAfter": {"Keeper.read"},
		"answering{}": {"NewPreview", "Preview.Plan", "inquiry.workOut"},
	}
	got := map[string][]string{}
	for _, file := range parsed(t) {
		for _, d := range file.Decls {
			if f, is := d.(*ast.FuncDecl); is {
				callsIn(f, func(called string) {
					if _, long := want[called]; long && !slices.Contains(got[called], nameOf(f)) {
						got[called] = append(got[called], nameOf(f))
					}
				})
			}
		}
	}
	for _, by := range got {
		slices.Sort(by)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("called by (- expected, + found):\n%s", diff)
	}
}

// parsed is the package without its tests.
func parsed(t *testing.T) (all []*ast.File) {
	t.Helper()
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, file)
	}
	return all
}

// nameOf is a function by its receiver's type and its name.
func nameOf(f *ast.FuncDecl) string {
	if f.Recv == nil {
		return f.Name.Name
	}
	of := f.Recv.List[0].Type
	if star, is := of.(*ast.StarExpr); is {
		of = star.X
	}
	return of.(*ast.Ident).Name + "." + f.Name.Name
}

// callsIn finds what a function calls by its last name, and the answering that it makes.
func callsIn(f *ast.FuncDecl, found func(string)) {
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			switch called := n.Fun.(type) {
			case *ast.SelectorExpr:
				found(called.Sel.Name)
			case *ast.Ident:
				found(called.Name)
			}
		case *ast.CompositeLit:
			if made, is := n.Type.(*ast.Ident); is && made.Name == "answering" {
				found("answering{}")
			}
		}
		return true
	})
}
