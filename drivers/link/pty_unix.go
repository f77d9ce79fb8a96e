//go:build unix

package link

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"

	"bayhand/drivers/ports"
)

// openPTY makes a pseudo-terminal and a symbolic link to its far end at the
// path, where a device, or what stands in for one, can open it.
//
// The far end is held open here as well: otherwise the near end would fail
// whenever nobody else has it open.
func openPTY(a Address) (Link, error) {
	master, slave, err := pty.Open()
	if err != nil {
		return nil, err
	}
	near, err := polled(master)
	if err != nil {
		return nil, errors.Join(err, slave.Close())
	}
	if err := standing(a.Path, slave.Name()); err != nil {
		return nil, errors.Join(err, near.Close(), slave.Close())
	}
	remove, err := prepare(slave, a.Path)
	if err != nil {
		return nil, errors.Join(err, near.Close(), slave.Close())
	}
	after := func() error { return errors.Join(remove(), slave.Close()) }
	return &stream{address: a.String(), in: near, out: near, after: after}, nil
}

// standing refuses a path that leads to a pseudo-terminal of somebody else which is there,
// such as that of a simulator: replacing it would part that from who opens it. What an
// earlier run left behind leads to nothing, or to the one that was made now.
func standing(path, own string) error {
	target, err := os.Readlink(path)
	if err != nil || target == own || !strings.HasPrefix(target, "/dev/pts/") {
		return nil // nothing is there, or linkAt says what
	}
	if _, err := os.Stat(target); err != nil {
		return nil
	}
	return fmt.Errorf("%s leads to a pseudo-terminal already; if it is that of a device or a simulator, write serial:%s; if it is nobody's, remove it", path, path)
}

func prepare(slave *os.File, path string) (remove func() error, err error) {
	if err := ports.MakeRaw(slave); err != nil {
		return nil, err
	}
	return linkAt(slave.Name(), path)
}

// polled gives a file that Go's poller owns in place of one that blocks: the
// pseudo-terminal is made with ioctls on its bare descriptor, which takes it
// out of the poller.
func polled(file *os.File) (*os.File, error) {
	defer file.Close()
	fd, err := unix.FcntlInt(file.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	if err != nil {
		return nil, err
	}
	if err := unix.SetNonblock(fd, true); err != nil {
		return nil, errors.Join(err, unix.Close(fd))
	}
	return os.NewFile(uintptr(fd), file.Name()), nil
}

// linkAt makes the symbolic link, in the place of one that an earlier run left
// behind; it never replaces anything else. The function returned removes the
// link if it is still the same.
func linkAt(target, path string) (remove func() error, err error) {
	if err := replaceable(path); err != nil {
		return nil, err
	}
	fresh := filepath.Join(filepath.Dir(path), fmt.Sprintf(".%s.%d", filepath.Base(path), os.Getpid()))
	if err := os.Symlink(target, fresh); err != nil {
		return nil, err
	}
	if err := os.Rename(fresh, path); err != nil {
		return nil, errors.Join(err, os.Remove(fresh))
	}
	return func() error {
		if now, err := os.Readlink(path); err != nil || now != target {
			return nil // somebody else's by now
		}
		return os.Remove(path)
	}, nil
}

func replaceable(path string) error {
	info, err := os.Lstat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if info.Mode()&fs.ModeSymlink != 0 {
		target, err := os.Readlink(path)
		if err != nil {
			return err
		}
		if strings.HasPrefix(target, "/dev/pts/") || strings.HasPrefix(target, "/dev/tty") {
			return nil
		}
	}
	return fmt.Errorf("%s is there already and is no link to a pseudo-terminal; it is left alone, choose another path", path)
}
