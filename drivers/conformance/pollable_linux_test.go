package conformance_test

import (
	"os"
	"testing"

	"golang.org/x/sys/unix"
)

// pollable is a file whose Close ends a Read that waits, which the one that
// pty.Open makes does not.
func pollable(t testing.TB, blocking *os.File) *os.File {
	t.Helper()
	defer blocking.Close()
	fd, err := unix.FcntlInt(blocking.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	if err == nil {
		err = unix.SetNonblock(fd, true)
	}
	if err != nil {
		t.Fatal(err)
	}
	return os.NewFile(uintptr(fd), blocking.Name())
}
