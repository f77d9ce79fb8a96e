//go:build unix

package ports

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"syscall"

	"golang.org/x/term"
)

// OpenDevice opens a raw MIDI device, a pseudo-terminal or a FIFO, with how one of
// os.O_RDONLY, os.O_WRONLY and os.O_RDWR.
//
// O_NONBLOCK is not a wish: without it, open(2) on a device that somebody else
// holds waits until it is free. With it the answer is EBUSY, and the file lands
// in Go's poller.
func OpenDevice(path string, how int) (*os.File, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, Reason(err)
	}
	if info.Mode()&(fs.ModeCharDevice|fs.ModeNamedPipe) == 0 {
		return nil, fmt.Errorf("%s is neither a device nor a FIFO", path)
	}
	if how == os.O_RDWR && info.Mode()&fs.ModeNamedPipe != 0 {
		return nil, fmt.Errorf("%s is one FIFO, which goes one way; write rawmidi:FROM-DEVICE,TO-DEVICE", path)
	}
	file, err := os.OpenFile(path, how|syscall.O_NONBLOCK|syscall.O_NOCTTY|syscall.O_CLOEXEC, 0)
	if err != nil {
		return nil, Reason(err)
	}
	return file, nil
}

// MakeRaw takes the line discipline out of a pseudo-terminal's way: it would
// echo, and turn 0D into 0A. Anything else is left as it is.
func MakeRaw(file *os.File) error {
	conn, err := file.SyscallConn()
	if err != nil {
		return err
	}
	var rawErr error
	// Not through file.Fd, which would take the file out of the poller.
	err = conn.Control(func(fd uintptr) {
		if term.IsTerminal(int(fd)) {
			_, rawErr = term.MakeRaw(int(fd))
		}
	})
	return errors.Join(err, rawErr)
}

// Reason says in words what the common errors of open(2) mean here.
func Reason(err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return NotFound(err)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("this user may not open it; on Linux the user belongs in the group that owns the device: %w", err)
	case errors.Is(err, syscall.EBUSY):
		return fmt.Errorf("another program has it open: %w", err)
	case errors.Is(err, syscall.ENXIO):
		return fmt.Errorf("nobody is at the other end: %w", err)
	}
	return err
}
