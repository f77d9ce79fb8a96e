package files

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bayhand/model/patch"
	"bayhand/recall/disk"
	"bayhand/recall/keep"
)

const smallStudio = `studio: Small
gear:
  interface: {outputs: {out1-4: pro-line}, inputs: {in1-4: pro-line}}
bays:
  main: {pairs: 8, modes: isolated}
wiring:
  - interface/out1-4 -> main/t1-4
  - main/b1-4 -> interface/in1-4
`

// libraryOf lays out files and gives their library.
func libraryOf(t testing.TB, files map[string]string) *Library {
	t.Helper()
	folder := t.TempDir()
	for file, text := range files {
		lay(t, filepath.Join(folder, file), text)
	}
	return NewLibrary(Place{Studio: filepath.Join(folder, "studio.yaml")})
}

func lay(t testing.TB, file, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// source is what in1 hears by the library's reading of a session.
func source(t *testing.T, l *Library, session string) string {
	t.Helper()
	p, err := l.Studio()
	if err != nil {
		return err.Error()
	}
	s, err := l.Session(p, session)
	switch {
	case err != nil:
		return "gone"
	case !s.Sound():
		return "wrong"
	}
	return s.Session.Wants[0].Source.Port()
}

// Whatever changes in the files, however soon after the last look, is seen: the
// session itself, the one that it is like, the studio, a file that goes or comes.
func TestLibrarySeesEveryChange(t *testing.T) {
	l := libraryOf(t, map[string]string{
		"studio.yaml":         smallStudio,
		"sessions/first.yaml": "session: First\nconnect:\n  - interface/out1 -> interface/in1\n",
		"sessions/next.yaml":  "session: Next\nlike: first\n",
	})
	folder := filepath.Dir(l.place.Studio)
	first, next := filepath.Join(folder, "sessions", "first.yaml"), filepath.Join(folder, "sessions", "next.yaml")
	wants := func(what, session, want string) {
		t.Helper()
		for range 2 {
			if got := source(t, l, session); got != want {
				t.Errorf("%s: %s hears %s, want %s", what, session, got, want)
			}
		}
	}
	wants("at first", "next", "out1")
	lay(t, first, "session: First\nconnect:\n  - interface/out2 -> interface/in1\n")
	wants("just as long, at once", "next", "out2")
	// An editor or a restored backup may bring the old time along.
	old := time.Date(2031, 5, 4, 10, 0, 0, 0, time.UTC)
	for _, at := range []time.Time{old, old.Add(time.Nanosecond)} {
		lay(t, first, "session: First\nconnect:\n  - interface/out3 -> interface/in1\n")
		if err := os.Chtimes(first, at, at); err != nil {
			t.Fatal(err)
		}
		wants("of another time", "next", "out3")
	}
	if err := os.Remove(first); err != nil {
		t.Fatal(err)
	}
	wants("without what it is like", "next", "wrong")
	lay(t, first, "session: First\nconnect:\n  - interface/out4 -> interface/in1\n")
	wants("with it again", "next", "out4")
	if err := os.Remove(next); err != nil {
		t.Fatal(err)
	}
	wants("gone", "next", "gone")
	lay(t, next, "session: Next\nlike: first\n")
	wants("and back", "next", "out4")
	lay(t, l.place.Studio, "studio: Smaller\ngear:\n  interface: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}\n")
	wants("in a smaller studio", "next", "wrong")
	lay(t, l.place.Studio, smallStudio)
	wants("in the larger one again", "next", "out4")
}

// What settled is not read again; the same session is the same value.
func TestLibraryReadsOnce(t *testing.T) {
	l := libraryOf(t, map[string]string{
		"studio.yaml":         smallStudio,
		"sessions/first.yaml": "session: First\nconnect:\n  - interface/out1 -> interface/in1\n",
	})
	p, err := l.Studio()
	if err != nil {
		t.Fatal(err)
	}
	one, _ := l.Session(p, "first")
	if p, err = l.Studio(); err != nil {
		t.Fatal(err)
	}
	two, _ := l.Session(p, "first")
	if one == nil || one != two {
		t.Errorf("%p and %p are two readings", one, two)
	}
}

// What somebody writes while a patch is to be kept counts: the daemon waits until
// the file is quiet, and gives up at the last moment if it was written after all.
func TestKeepPatchLosesNoEdit(t *testing.T) {
	l := libraryOf(t, map[string]string{
		"studio.yaml":         smallStudio,
		"sessions/first.yaml": "session: First\nconnect:\n  - interface/out1 -> interface/in1\n",
	})
	file := filepath.Join(filepath.Dir(l.place.Studio), "sessions", "first.yaml")
	kept := patch.Patch{}
	if err := l.place.KeepPatch("first", kept, time.Hour); !errors.Is(err, keep.ErrLater) {
		t.Errorf("a file that was just written: %v", err)
	}
	if err := l.place.KeepPatch("first", kept, 0); err != nil {
		t.Error(err)
	}
	err := disk.Replace(file, []byte("overwritten"), func() error {
		lay(t, file, "session: Edited\n")
		return keep.ErrLater
	})
	if text, _ := os.ReadFile(file); !errors.Is(err, keep.ErrLater) || string(text) != "session: Edited\n" {
		t.Errorf("%v, and the file is %q", err, text)
	}
	if all, _ := filepath.Glob(filepath.Join(filepath.Dir(file), "*")); len(all) != 1 {
		t.Errorf("left over: %q", all)
	}
	if all, _ := filepath.Glob(filepath.Join(filepath.Dir(file), ".*")); len(all) != 0 {
		t.Errorf("left over: %q", all)
	}
}
