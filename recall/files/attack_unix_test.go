//go:build !windows

package files

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"bayhand/model/text"
)

// What is no file among the sessions is told and passed, and holds nobody up; the
// others are read.
func TestOddFilesAmongSessions(t *testing.T) {
	const good = "session: Good\nconnect: [interface/out1 -> interface/in1]\n"
	l := libraryOf(t, map[string]string{"studio.yaml": smallStudio, "sessions/good.yaml": good})
	at := func(name string) string { return filepath.Join(l.place.Folder(), name) }
	for _, err := range []error{
		syscall.Mkfifo(at("pipe.yaml"), 0o644),
		os.Symlink("/dev/full", at("endless.yaml")),
		os.Symlink("nowhere.yaml", at("dangling.yaml")),
		os.WriteFile(at("like.yaml"), []byte("session: Like\nlike: pipe\n"), 0o644),
		os.WriteFile(at("rest.yaml"), []byte(good), 0o644),
		os.WriteFile(at("rest.yml"), []byte(good), 0o644),
		os.WriteFile(at("rest.YAML"), []byte(good), 0o644),
		os.WriteFile(at("wet.YML"), []byte(good), 0o644),
		os.WriteFile(at(".before-writing-good.yaml"), []byte(good), 0o644),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	c, err := l.Check(context.Background(), nil, Shallow)
	if err != nil {
		t.Fatal(err)
	}
	for file, want := range map[string]string{
		"pipe.yaml": "this session cannot be read: it is a pipe and no file", "endless.yaml": "it is a device and no file",
		"dangling.yaml": "it is a link to nowhere.yaml, which is not there",
		"like.yaml":     "pipe", "rest.yaml": "rest is the room between sessions", "rest.yml": "rest is the room between sessions",
		"rest.YAML": "rest is the room between sessions", "wet.YML": "sessions are files that end in .yaml",
		".before-writing-good.yaml": "broke off",
	} {
		said := ""
		for _, f := range c.Findings {
			if f.File == at(file) {
				said += f.Message + "\n"
			}
		}
		if !strings.Contains(said, want) {
			t.Errorf("of %s it is said %q", file, said)
		}
	}
	held := l.Load([]string{"good", "pipe"})
	told := fmt.Sprint(held.Problems)
	if held.Sessions["good"] == nil || !strings.Contains(told, "it is a pipe") || !strings.Contains(told, "rest.yaml: this file is not read") {
		t.Errorf("%+v", held)
	}
	if text.Problems(c.Findings).Errors() != true { // like: pipe cannot be read
		t.Error("no error")
	}
}
