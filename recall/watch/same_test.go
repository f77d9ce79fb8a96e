package watch

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

// The look that nothing told of is another one while everything in the folders is as
// it was at the last look, and whoever reads thousands of files need not; whatever
// differs, where nothing is told either, is looked at as ever.
func TestNothingChanged(t *testing.T) {
	folder := t.TempDir()
	file, other, kept := filepath.Join(folder, "tern.yaml"), filepath.Join(folder, "heron.yaml"), filepath.Join(t.TempDir(), "kept")
	write(t, file, "text")
	write(t, kept, "whole")
	refuseEvents(t)
	same := make(chan struct{}, 10)
	asked, looks := begun(t, Options{Folders: []string{folder}, Poll: pollTime, Same: func() { same <- struct{}{} }})
	slow := func(what string, want, not chan struct{}) {
		t.Helper()
		for a := next(t, asked); ; a = next(t, asked) {
			if a.fire <- (time.Time{}); a.d == pollTime {
				break
			}
		}
		came(t, what, want)
		if len(not) > 0 {
			t.Errorf("%s: it was looked at as if it were otherwise", what)
		}
	}
	slow("what was read before the watch may have been something else", looks, same)
	slow("nothing changed", same, looks)
	for _, c := range []struct {
		what   string
		change func() error
	}{
		{"another text", func() error { return os.WriteFile(file, []byte("more text"), 0o644) }},
		{"who may read it", func() error { return os.Chmod(file, 0o600) }},
		{"one more file", func() error { return os.WriteFile(other, nil, 0o644) }},
		{"a file is gone", func() error { return os.Remove(other) }},
		{"a folder with the name of a file", func() error { return os.Mkdir(other, 0o755) }},
		{"a file that is a link now", func() error { return os.Symlink(kept, filepath.Join(folder, "link.yaml")) }},
		{"what a link leads to", func() error { return os.WriteFile(kept, []byte("whole, and more"), 0o644) }},
		{"the folder is gone", func() error { return os.Rename(folder, folder+".old") }},
		{"the folder is there again", func() error { return os.Rename(folder+".old", folder) }},
	} {
		must(t, c.change())
		slow(c.what, looks, same)
		slow("nothing after: "+c.what, same, looks)
	}
}

func came(t *testing.T, what string, signal chan struct{}) {
	t.Helper()
	select {
	case <-signal:
	case <-time.After(tooLong):
		t.Fatalf("%s: nobody looked", what)
	}
}
