package journal

import (
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"bayhand/recall/keep"
)

// The disk is full: the kernel takes nothing behind a size (setrlimit(2),
// RLIMIT_FSIZE). The bound is a process's, so the test runs itself as another.
func TestFullDisk(t *testing.T) {
	if file := os.Getenv("BAYHAND_TEST_FULL"); file != "" {
		writeUntilFull(t, file)
		return
	}
	file := filepath.Join(t.TempDir(), File)
	c := exec.Command(os.Args[0], "-test.run=^TestFullDisk$", "-test.v")
	c.Env = append(os.Environ(), "BAYHAND_TEST_FULL="+file)
	if out, err := c.CombinedOutput(); err != nil || !strings.Contains(string(out), "--- PASS") {
		t.Fatalf("%v\n%s", err, out)
	}
}

func writeUntilFull(t *testing.T, file string) {
	signal.Ignore(syscall.SIGXFSZ)
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	var had syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &had); err != nil {
		t.Fatal(err)
	}
	limit(t, syscall.Rlimit{Cur: 256 << 10, Max: had.Max})
	write := func(n uint64) error {
		return j.Write(keep.Memory{Intent: keep.Intent{Recall: n}}, []keep.Event{{Recall: n, Text: strings.Repeat("x", 20_000)}})
	}
	last := uint64(0)
	for err = write(1); err == nil && last < 1000; err = write(last + 1) {
		last++
	}
	if err == nil || last < 2 {
		t.Fatalf("after %d writes: %v", last, err)
	}
	t.Logf("write %d: %v", last+1, err)
	isAt(t, j, last)
	if err := write(last + 1); err == nil {
		t.Error("written on a disk that is still full")
	}
	limit(t, had)
	if err := write(last + 1); err != nil {
		t.Errorf("after there was room again: %v", err)
	}
	isAt(t, j, last+1)
	if err := j.Close(); err != nil {
		t.Error(err)
	}
	if j, err = Open(file); err != nil {
		t.Fatal(err)
	}
	isAt(t, j, last+1)
	if err := j.Close(); err != nil {
		t.Error(err)
	}
}

func limit(t *testing.T, l syscall.Rlimit) {
	t.Helper()
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &l); err != nil {
		t.Fatal(err)
	}
}

// isAt checks that the journal has all writes up to the n-th, whole, and no more.
func isAt(t *testing.T, j *Journal, n uint64) {
	t.Helper()
	m, err := j.Load()
	if err != nil || m.Intent.Recall != n {
		t.Errorf("the memory is of write %d, not %d: %v", m.Intent.Recall, n, err)
	}
	events, err := j.Find(keep.Query{})
	if err != nil || uint64(len(events)) != n {
		t.Errorf("%d events, not %d: %v", len(events), n, err)
	}
}
