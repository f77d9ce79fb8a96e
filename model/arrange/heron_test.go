package arrange

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bayhand/model/text"
)

// heron is the made-up studio with all its sessions.
func heron(t testing.TB) Request {
	t.Helper()
	folder := filepath.Join("..", "..", "cmd", "bayhand", "demo", "heron")
	src, err := os.ReadFile(filepath.Join(folder, "studio.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	s, _, problems := text.ReadStudio("studio.yaml", src)
	if problems.Errors() {
		t.Fatal(problems)
	}
	q := Request{Studio: s, Tidy: 5, Moves: -1}
	open := func(name string) (string, []byte, error) {
		file := filepath.Join(folder, "sessions", name+".yaml")
		src, err := os.ReadFile(file)
		return file, src, err
	}
	files, err := filepath.Glob(filepath.Join(folder, "sessions", "*.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		made, _, problems := text.ReadSession(file, src, s, open)
		if problems.Errors() {
			t.Fatal(problems)
		}
		q.Sessions = append(q.Sessions, Weighted{Session: made, Weight: 1})
	}
	return q
}

// The made-up studio is wired with care: what is proposed is no worse, by the
// planner's own count, and what is left alone stays.
func TestHeronIsMadeNoWorse(t *testing.T) {
	q := heron(t)
	q.Effort = 1
	q.Sessions = slices.DeleteFunc(q.Sessions, func(w Weighted) bool {
		return strings.HasPrefix(w.Session.Name, "curlew") || w.Session.Name == "tern-mix-2"
	}) // they take long
	a, err := Propose(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	if a.Plugs.Proposed > a.Plugs.Now && a.Lines.Proposed >= a.Lines.Now {
		t.Errorf("%d plugs instead of %d, %d lines instead of %d", a.Plugs.Proposed, a.Plugs.Now, a.Lines.Proposed, a.Lines.Now)
	}
	stays := a.Layout.columns.room.stays
	for _, m := range a.Moves {
		if stays[m.From] || stays[m.To] {
			t.Errorf("%s moves from %s to %s, which stays", m.Port, m.From, m.To)
		}
	}
	for _, s := range a.Sessions {
		if s.Proposed == notGiven || s.Proposed < s.Least {
			t.Errorf("%s takes %d plugs, %d at least", s.Session, s.Proposed, s.Least)
		}
	}
}

// A bound on the moves is kept, and more moves are never worse.
func TestFewMoves(t *testing.T) {
	q := heron(t)
	q.Effort = 1
	last := int64(forbidden)
	for _, q.Moves = range []int{0, 4, 8} {
		l, err := Lay(q)
		if err != nil {
			t.Fatal(err)
		}
		if moved := len(l.Moves()); moved > q.Moves {
			t.Errorf("%d ports move, and %d may", moved, q.Moves)
		}
		if score := l.columns.score(); score > last {
			t.Errorf("with %d moves the objective is %d, with fewer %d", q.Moves, score, last)
		} else {
			last = score
		}
	}
}

// Reasons name gear by what is printed on it: what the file calls shaper is labelled
// equaliser there.
func TestReasonsNameLabels(t *testing.T) {
	q := heron(t)
	q.Effort = 1
	l, err := Lay(q)
	if err != nil {
		t.Fatal(err)
	}
	named := 0
	for _, c := range l.Columns() {
		for _, g := range q.Studio.Gear {
			if g.Label == "" || g.Label == g.Name {
				continue
			}
			if strings.Contains(c.Because, " "+g.Name+" ") || strings.Contains(c.Because, " "+g.Name+",") {
				t.Errorf("%s %d: %s is called %s", c.Bay, c.Pair, c.Because, g.Name)
			}
			if strings.Contains(c.Because, g.Label) {
				named++
			}
		}
	}
	if named == 0 {
		t.Error("no reason names gear")
	}
}
