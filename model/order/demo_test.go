package order_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

var update = flag.Bool("update", false, "write the golden files anew")

const heron = "../../cmd/bayhand/demo/heron"

// The steps to patches that give the invented boathouse's sessions, from the room
// at rest: a change of any is to be seen and meant. The patches are kept, so that
// another choice of the planner changes no step here.
func TestBoathouse(t *testing.T) {
	s, _, problems := text.ReadStudio("studio.yaml", file(t, filepath.Join(heron, "studio.yaml")))
	if problems.Errors() {
		t.Fatal(problems)
	}
	files, err := filepath.Glob(filepath.Join(heron, "sessions", "*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no sessions: %v", err)
	}
	for _, f := range files[:max(1, len(files)/share)] {
		name := strings.TrimSuffix(filepath.Base(f), ".yaml")
		t.Run(name, func(t *testing.T) {
			w := to(t, s, filepath.Join("testdata", name+".patch.yaml"), read(t, s, f))
			w.arrange(t, 0)
			w.check(t, 0, tally{})
			golden := filepath.Join("testdata", name+".steps")
			got := printed(w.plan)
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			if diff := cmp.Diff(string(file(t, golden)), got); diff != "" {
				t.Errorf("the steps are others than before (-before +now):\n%s", diff)
			}
		})
	}
}

// to is the way from the rest patch to a patch that is kept in a file.
func to(t testing.TB, s *studio.Studio, path string, asked *session.Session) way {
	t.Helper()
	target, _, problems := text.ReadPatch(path, file(t, path), s)
	if problems.Errors() {
		t.Fatal(problems)
	}
	w := way{room: heard.NewRoom(s), from: s.Rest, session: asked}
	if faults := w.room.For(asked, target).CheckGiven(asked, target, nil); len(faults) > 0 {
		t.Fatalf("%s does not give its session: %v", path, faults)
	}
	there := *s
	there.Rest = target
	var err error
	if w.plan, err = planner.Target(t.Context(), plan.Request{Studio: &there, From: s.Rest}); err != nil {
		t.Fatal(err)
	}
	w.moves = slices.Clone(w.plan.Moves)
	return w
}

func read(t testing.TB, s *studio.Studio, path string) *session.Session {
	t.Helper()
	open := func(name string) (string, []byte, error) {
		f := filepath.Join(heron, "sessions", name+".yaml")
		src, err := os.ReadFile(f)
		return f, src, err
	}
	asked, _, problems := text.ReadSession(path, file(t, path), s, open)
	if problems.Errors() {
		t.Fatal(problems)
	}
	return asked
}

func file(t testing.TB, path string) []byte {
	t.Helper()
	src, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return src
}

// printed is a plan as the golden files have it: a line a step, with what it
// waits for and why.
func printed(p *plan.Plan) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d plugs\n", p.Plugs)
	for _, s := range p.Steps {
		fmt.Fprintf(&b, "%s  %s  after %s: %s\n", s.ID, show(s), strings.Join(s.After, " "), s.Because)
	}
	return b.String()
}
