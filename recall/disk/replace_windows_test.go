package disk

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

// A file is replaced whole, one of two names keeps both, and nothing is left beside
// it. What the system keeps of access lists and attributes is documented by its maker,
// and is not looked at here: not every system that runs this does.
func TestReplaceOnWindows(t *testing.T) {
	folder := t.TempDir()
	at := func(name string) string { return filepath.Join(folder, name) }
	must(t, Replace(at("new.yaml"), []byte("first"), nil))
	must(t, os.WriteFile(at("old.yaml"), []byte("old"), 0o644))
	must(t, Replace(at("old.yaml"), []byte("new content"), nil))
	must(t, os.WriteFile(at("two.yaml"), []byte("old"), 0o644))
	must(t, os.Link(at("two.yaml"), at("names.yaml")))
	must(t, Replace(at("two.yaml"), []byte("of both"), nil))
	if err := Replace(at("new.yaml"), []byte("second"), func() error { return fs.ErrInvalid }); !errors.Is(err, fs.ErrInvalid) {
		t.Errorf("called off: %v", err)
	}
	must(t, os.WriteFile(at("closed.yaml"), []byte("kept"), 0o444))
	if err := Replace(at("closed.yaml"), []byte("lost"), nil); !errors.Is(err, fs.ErrPermission) {
		t.Errorf("a file that is closed to writing: %v", err)
	}
	must(t, os.Chmod(at("closed.yaml"), 0o644))
	for file, want := range map[string]string{"new.yaml": "first", "old.yaml": "new content", "two.yaml": "of both", "names.yaml": "of both", "closed.yaml": "kept"} {
		if got, err := os.ReadFile(at(file)); err != nil || string(got) != want {
			t.Errorf("%s has %q, %v", file, got, err)
		}
	}
	if entries, err := os.ReadDir(folder); err != nil || len(entries) != 5 {
		t.Errorf("there are %v, %v", entries, err)
	}
	must(t, os.Remove(at("closed.yaml")))
}
