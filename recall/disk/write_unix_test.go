//go:build !windows

package disk

import (
	"cmp"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// about is a file as its author knows it.
type about struct {
	mode     fs.FileMode
	uid, gid uint32
	names    uint64
}

func of(t *testing.T, file string) about {
	t.Helper()
	info, err := os.Stat(file)
	must(t, err)
	sys := info.Sys().(*syscall.Stat_t)
	return about{info.Mode(), sys.Uid, sys.Gid, uint64(sys.Nlink)}
}

// text is what stands in a file; nothing for what cannot be read.
func text(file string) string {
	src, _ := os.ReadFile(file)
	return string(src)
}

// only fails where a folder has more than these in it.
func only(t *testing.T, folder string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	must(t, err)
	var has []string
	for _, e := range entries {
		has = append(has, e.Name())
	}
	if strings.Join(has, " ") != strings.Join(names, " ") {
		t.Errorf("the folder has %q", has)
	}
}

// A file that is replaced stays its author's: mode, owner, group, attributes, hard
// links, and the symbolic link by which it was named.
func TestReplacedFileStaysItsAuthors(t *testing.T) {
	for _, c := range []struct {
		name  string
		make  func(t *testing.T, file string)
		named string // the name by which it is written; file for none
	}{
		{"a mode of its own", func(t *testing.T, file string) { must(t, os.Chmod(file, 0o640)) }, ""},
		{"writable for all", func(t *testing.T, file string) { must(t, os.Chmod(file, 0o666)) }, ""},
		{"another owner and group", func(t *testing.T, file string) {
			if os.Geteuid() != 0 {
				t.Skip("only root can give a file away")
			}
			must(t, os.Chown(file, 4321, 1234))
			must(t, os.Chmod(file, 0o664))
		}, ""},
		{"two names", func(t *testing.T, file string) { must(t, os.Link(file, file+".2")) }, ""},
		{"a link", func(t *testing.T, file string) { must(t, os.Symlink(filepath.Base(file), file+".2")) }, "x.yaml.2"},
		{"a link to a file with two names", func(t *testing.T, file string) {
			must(t, os.Link(file, file+".1"))
			must(t, os.Symlink(filepath.Base(file), file+".2"))
		}, "x.yaml.2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := t.TempDir()
			file := filepath.Join(folder, "x.yaml")
			must(t, os.WriteFile(file, []byte("old, and longer"), 0o644))
			c.make(t, file)
			before := of(t, file)
			entries, err := os.ReadDir(folder)
			must(t, err)
			must(t, Replace(filepath.Join(folder, cmp.Or(c.named, "x.yaml")), []byte("new"), nil))
			if after := of(t, file); after != before {
				t.Errorf("%+v became %+v", before, after)
			}
			for _, e := range entries {
				if got := text(filepath.Join(folder, e.Name())); got != "new" {
					t.Errorf("%s holds %q", e.Name(), got)
				}
			}
			var names []string
			for _, e := range entries {
				names = append(names, e.Name())
				now, err := os.Lstat(filepath.Join(folder, e.Name()))
				must(t, err)
				if now.Mode().Type() != e.Type() {
					t.Errorf("%s became %v", e.Name(), now.Mode())
				}
			}
			only(t, folder, names...)
		})
	}
}

// A writing in place that is called off or broken off leaves the old content, in the
// file or in its copy.
func TestWritingInPlaceLosesNothing(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "x.yaml")
	must(t, os.WriteFile(file, []byte("old"), 0o644))
	must(t, os.Link(file, filepath.Join(folder, "y.yaml")))
	off := errors.New("somebody is writing it")
	err := Replace(file, []byte("new"), func() error {
		if text(CopyOf(file)) != "old" {
			t.Errorf("the copy holds %q", text(CopyOf(file)))
		}
		return off
	})
	if !errors.Is(err, off) || text(file) != "old" {
		t.Errorf("called off: %v, and it holds %q", err, text(file))
	}
	only(t, folder, "x.yaml", "y.yaml")

	// The power went while it was written: half is new, and the copy is there.
	must(t, os.WriteFile(CopyOf(file), []byte("what was in it"), 0o644))
	if err := Replace(file, []byte("new"), nil); err == nil || !strings.Contains(err.Error(), "broke off") || text(file) != "old" {
		t.Errorf("over a copy: %v, and it holds %q", err, text(file))
	}
	// It went before anything was written: the copy says nothing new.
	must(t, os.WriteFile(CopyOf(file), []byte("old"), 0o644))
	if err := Replace(file, []byte("new"), nil); err != nil || text(file) != "new" {
		t.Errorf("over a copy that is the same: %v, and it holds %q", err, text(file))
	}
	only(t, folder, "x.yaml", "y.yaml")
}

// What is no regular file, or may not be written, is left alone.
func TestWhatIsNotWritten(t *testing.T) {
	folder := t.TempDir()
	pipe := filepath.Join(folder, "pipe.yaml")
	must(t, syscall.Mkfifo(pipe, 0o644))
	if err := Replace(pipe, []byte("new"), nil); !errors.Is(err, ErrIrregular) {
		t.Errorf("a pipe: %v", err)
	}
	closed := filepath.Join(folder, "closed.yaml")
	must(t, os.WriteFile(closed, []byte("old"), 0o444))
	if os.Geteuid() != 0 { // root may write everything
		if err := Replace(closed, []byte("new"), nil); !errors.Is(err, fs.ErrPermission) {
			t.Errorf("a file that is closed to writing: %v", err)
		}
	}
	only(t, folder, "closed.yaml", "pipe.yaml")
}

// A new file is there whole or not at all, and overwrites nothing.
func TestCreate(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "deep", "x.yaml")
	must(t, Create(file, []byte("new")))
	if err := Create(file, []byte("newer")); !errors.Is(err, fs.ErrExist) || text(file) != "new" {
		t.Errorf("again: %v, and it holds %q", err, text(file))
	}
	nowhere := filepath.Join(folder, "deep", "link.yaml")
	must(t, os.Symlink("none", nowhere))
	if err := Create(nowhere, []byte("new")); !errors.Is(err, fs.ErrExist) {
		t.Errorf("over a link that leads nowhere: %v", err)
	}
	only(t, filepath.Dir(file), "link.yaml", "x.yaml")
}
