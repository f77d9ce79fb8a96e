package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Another program in the place of the one that runs is told once it is of another
// version, and not before; one that is no program, or gone, is not.
func TestAnotherVersionInstalled(t *testing.T) {
	this, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	program, err := os.ReadFile(this)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "bayhand")
	put := func(content []byte) {
		t.Helper()
		if err := os.WriteFile(file+".new", content, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.Rename(file+".new", file); err != nil {
			t.Fatal(err)
		}
	}
	put(program)
	same, other := newInstalled(file, version()), newInstalled(file, "1.2.3")
	for _, i := range []*installed{same, other} {
		if p := i.problems(); len(p) > 0 {
			t.Errorf("the file that it was started from: %v", p)
		}
	}
	put(program) // as an upgrade does
	if p := same.problems(); len(p) > 0 {
		t.Errorf("the same version again: %v", p)
	}
	for range 2 {
		if p := other.problems(); len(p) != 1 || !strings.Contains(p[0].Message, "the daemon that runs is 1.2.3") {
			t.Errorf("another version: %v", p)
		}
	}
	put([]byte("half a program"))
	if p := other.problems(); len(p) > 0 {
		t.Errorf("no program: %v", p)
	}
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	if p := other.problems(); len(p) > 0 {
		t.Errorf("removed: %v", p)
	}
	if p := newInstalled(file, "1").problems(); len(p) > 0 {
		t.Errorf("never there: %v", p)
	}
}

// A command that meets a daemon of another version says so, and of its own says
// nothing.
func TestDaemonOfAnotherVersion(t *testing.T) {
	for daemon, want := range map[string]string{version(): "", "": "is bayhand an older version,", "0.1": "is bayhand 0.1, and this command is bayhand " + version()} {
		var said strings.Builder
		a := newApp(nil, &strings.Builder{}, &said)
		a.room.sayOtherVersion(daemon, version())
		if (said.Len() > 0) != (want != "") || !strings.Contains(said.String(), want) {
			t.Errorf("of %q it says %q", daemon, said.String())
		}
	}
}
