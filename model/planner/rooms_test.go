package planner_test

import (
	"os"
	"path/filepath"
	"testing"

	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

func folders(t *testing.T, at string) []string {
	t.Helper()
	if at == "" {
		return nil
	}
	files, _ := filepath.Glob(filepath.Join(at, "*", "studio.yaml"))
	if len(files) == 0 {
		t.Fatalf("no folder in %s has a studio.yaml", at)
	}
	var dirs []string
	for _, f := range files {
		dirs = append(dirs, filepath.Dir(f))
	}
	return dirs
}

func readRoom(t *testing.T, dir string) (*studio.Studio, *session.Session, patch.Patch) {
	t.Helper()
	read := func(file string) []byte {
		src, err := os.ReadFile(filepath.Join(dir, file))
		if err != nil {
			t.Fatal(err)
		}
		return src
	}
	s, _, problems := text.ReadStudio("studio.yaml", read("studio.yaml"))
	if problems.Errors() {
		t.Fatalf("%s: %v", dir, problems)
	}
	asked, _, problems := text.ReadSession("session.yaml", read("session.yaml"), s, nil)
	present, _, more := text.ReadPatch("present.yaml", read("present.yaml"), s)
	if problems = append(problems, more...); problems.Errors() {
		t.Fatalf("%s: %v", dir, problems)
	}
	return s, asked, present
}
