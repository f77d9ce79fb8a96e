//go:build !windows

package disk

import (
	"errors"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// What is no regular file is told and passed at once, whatever it is and wherever a
// link leads; so is what is too large, before a byte of it is read.
func TestWhatIsNoFileIsToldAtOnce(t *testing.T) {
	folder := t.TempDir()
	at := func(name string) string { return filepath.Join(folder, name) }
	must(t, syscall.Mkfifo(at("pipe.yaml"), 0o644))
	socket, err := net.Listen("unix", at("socket.yaml"))
	must(t, err)
	defer socket.Close()
	must(t, os.Symlink("/dev/full", at("device.yaml")))
	must(t, os.Symlink("pipe.yaml", at("link.yaml")))
	must(t, os.Mkdir(at("folder.yaml"), 0o755))
	must(t, os.WriteFile(at("large.yaml"), nil, 0o644))
	must(t, os.Truncate(at("large.yaml"), 1<<40)) // a terabyte that takes no room
	for name, want := range map[string]struct {
		kind error
		says string
	}{
		"pipe.yaml":   {ErrIrregular, "it is a pipe and no file"},
		"link.yaml":   {ErrIrregular, "it is a pipe and no file"},
		"socket.yaml": {ErrIrregular, "it is a socket and no file"},
		"device.yaml": {ErrIrregular, "it is a device and no file"},
		"folder.yaml": {ErrIrregular, "it is a folder and no file"},
		"large.yaml":  {ErrTooLarge, "it is larger than 4 MiB, the most that is read"},
		"none.yaml":   {fs.ErrNotExist, "no such file"},
	} {
		src, err := Text(at(name))
		if !errors.Is(err, want.kind) || !strings.Contains(err.Error(), want.says) || src != nil {
			t.Errorf("%s: %d bytes, %v", name, len(src), err) // ErrStalled where it held anybody up
		}
	}
	if _, err := Text(at("folder.yaml")); !errors.Is(err, syscall.EISDIR) {
		t.Errorf("a folder is not told as one: %v", err)
	}
}

// The bound holds while a file is read, whose size may have been told too small.
func TestBoundHoldsWhileReading(t *testing.T) {
	file := filepath.Join(t.TempDir(), "x")
	must(t, os.WriteFile(file, []byte(strings.Repeat("x", 101)), 0o644))
	if _, err := Read(file, 100); !errors.Is(err, ErrTooLarge) {
		t.Errorf("101 of 100 bytes: %v", err)
	}
	if src, err := Read(file, 101); err != nil || len(src) != 101 {
		t.Errorf("101 of 101 bytes: %d, %v", len(src), err)
	}
	// proc(5): its files have no size, and a content.
	if _, err := Read("/proc/self/status", 10); !errors.Is(err, ErrTooLarge) && !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a file that says it is empty: %v", err)
	}
}
