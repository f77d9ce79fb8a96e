package journal

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"unsafe"

	"golang.org/x/sys/unix"
)

// A file system without hard links, such as those of memory cards, refuses link(2) with
// EPERM. The kernel refuses it to a process that asked for that (seccomp(2)), so the test
// runs itself as another.
func TestRestoreWithoutLinks(t *testing.T) {
	if folder := os.Getenv("BAYHAND_TEST_LINKS"); folder != "" {
		refuseLinks(t)
		restoreWithoutLinks(t, folder)
		return
	}
	c := exec.Command(os.Args[0], "-test.run=^TestRestoreWithoutLinks$", "-test.v")
	c.Env = append(os.Environ(), "BAYHAND_TEST_LINKS="+t.TempDir())
	if out, err := c.CombinedOutput(); err != nil || !strings.Contains(string(out), "--- PASS") {
		t.Fatalf("%v\n%s", err, out)
	}
}

func restoreWithoutLinks(t *testing.T, folder string) {
	file, kept := filepath.Join(folder, File), filepath.Join(folder, "kept.db")
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Link(file, kept); !errors.Is(err, unix.EPERM) {
		t.Fatalf("links are not refused: %v", err)
	}
	writeOnce(t, j, "first")
	if _, err := Copy(file, kept); err != nil {
		t.Fatal(err)
	}
	writeOnce(t, j, "second")
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{".before-1", ".before-2"} {
		where, err := Restore(file, kept)
		if err != nil || where != file+want {
			t.Fatalf("the journal before is in %q, %v", where, err)
		}
		if err := errors.Join(Check(where), Check(file)); err != nil {
			t.Error(err)
		}
	}
	if j, err = Open(file); err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	if m, err := j.Load(); err != nil || m.Intent.Session != "first" {
		t.Errorf("restored is %q (%v)", m.Intent.Session, err)
	}
}

// refuseLinks has linkat(2), by which Go makes links, fail with EPERM in all threads of this
// process.
func refuseLinks(t *testing.T) {
	t.Helper()
	filter := []unix.SockFilter{
		{Code: unix.BPF_LD | unix.BPF_W | unix.BPF_ABS}, // the number of the call (struct seccomp_data)
		{Code: unix.BPF_JMP | unix.BPF_JEQ | unix.BPF_K, K: unix.SYS_LINKAT, Jf: 1},
		{Code: unix.BPF_RET | unix.BPF_K, K: unix.SECCOMP_RET_ERRNO | uint32(unix.EPERM)},
		{Code: unix.BPF_RET | unix.BPF_K, K: unix.SECCOMP_RET_ALLOW},
	}
	program := unix.SockFprog{Len: uint16(len(filter)), Filter: &filter[0]}
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	if err := unix.Prctl(unix.PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0); err != nil {
		t.Fatal(err)
	}
	if _, _, no := unix.Syscall(unix.SYS_SECCOMP, unix.SECCOMP_SET_MODE_FILTER, unix.SECCOMP_FILTER_FLAG_TSYNC, uintptr(unsafe.Pointer(&program))); no != 0 {
		t.Fatal(no)
	}
}
