package line

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"
	"golang.org/x/term"
)

// servePTY makes a pseudo terminal in raw mode with a symbolic link to it at
// path, and serves it through all who open and close it.
func (s *server) servePTY(ctx context.Context, kind, path string, ready func(string)) error {
	master, slave, err := openPTY()
	if err != nil {
		return fmt.Errorf("can't make a pseudo terminal: %w", err)
	}
	defer master.Close()
	// The other side stays open here as well: a read at this side ends with EIO
	// while nobody has the other one open (Linux).
	defer slave.Close()
	if _, err := term.MakeRaw(int(slave.Fd())); err != nil {
		return fmt.Errorf("can't put %s in raw mode: %w", slave.Name(), err)
	}
	if err := link(slave.Name(), path); err != nil {
		return err
	}
	defer unlink(slave.Name(), path)
	ready(kind + ":" + path)
	return s.converse(ctx, master)
}

// openPTY makes a pseudo terminal whose master end can be closed while a read
// of it waits: the file must not block, which pty.Open leaves it to do.
func openPTY() (master, slave *os.File, err error) {
	blocking, slave, err := pty.Open()
	if err != nil {
		return nil, nil, err
	}
	defer blocking.Close()
	fd, err := unix.FcntlInt(blocking.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	if err == nil {
		err = unix.SetNonblock(fd, true)
	}
	if err != nil {
		return nil, nil, errors.Join(err, slave.Close())
	}
	return os.NewFile(uintptr(fd), blocking.Name()), slave, nil
}

// link makes the symbolic link. One left behind by a simulator that was killed
// is replaced; anything else at the path is left alone.
func link(target, path string) error {
	if old, err := os.Readlink(path); err == nil {
		if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) && strings.HasPrefix(old, ptyFolder) {
			os.Remove(path) // if it fails, so does Symlink, and says why
		}
	}
	if err := os.Symlink(target, path); err != nil {
		return fmt.Errorf("can't make the link to the pseudo terminal: %w; choose a path where nothing is yet, in a folder that exists", err)
	}
	return nil
}

// ptyFolder is where Linux keeps its pseudo terminals.
const ptyFolder = "/dev/pts/"

// unlink removes the link if it is still ours.
func unlink(target, path string) {
	if now, err := os.Readlink(path); err == nil && now == target {
		os.Remove(path)
	}
}
