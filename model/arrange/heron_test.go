package arrange

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
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

func TestHeron(t *testing.T) {
	a, err := Propose(context.Background(), heron(t))
	if err != nil {
		t.Fatal(err)
	}
	text, _ := json.MarshalIndent(a, "", " ")
	t.Logf("%s", text)
}
