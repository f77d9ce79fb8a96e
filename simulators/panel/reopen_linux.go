package panel

import (
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
)

// reopen opens the terminal once more, so that a read that waits for a key ends
// when this opening is closed, and the shell's own stays as it is.
func reopen(in *os.File) (keyboard io.Reader, done func(), err error) {
	path := fmt.Sprintf("/proc/self/fd/%d", in.Fd())
	again, err := os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK|syscall.O_NOCTTY, 0)
	if err != nil {
		return nil, nil, err
	}
	return again, func() { again.Close() }, nil
}

// resized gives a channel that tells when the terminal's size changes.
func resized() (changes <-chan os.Signal, stop func()) {
	c := make(chan os.Signal, 1)
	signal.Notify(c, syscall.SIGWINCH)
	return c, func() { signal.Stop(c) }
}
