//go:build !windows

package disk

import (
	"errors"
	"io/fs"
	"os"
	"syscall"

	"github.com/google/renameio/v2"
)

// put writes a file, which info is about; nil where none is there.
func put(file string, info fs.FileInfo, content []byte, still func() error) error {
	if info == nil {
		made, err := renameio.NewPendingFile(file, renameio.WithPermissions(0o644))
		if err != nil {
			return err
		}
		return move(made, content, still)
	}
	if err := writable(file); err != nil {
		return err
	}
	if names(info) > 1 {
		return inPlace(file, info, content, still)
	}
	made, err := renameio.NewPendingFile(file, renameio.WithStaticPermissions(info.Mode().Perm()))
	if err != nil {
		return err
	}
	if !alike(made.File, file, info) {
		return errors.Join(made.Cleanup(), inPlace(file, info, content, still))
	}
	return move(made, content, still)
}

// move fills a new file and renames it to its place.
func move(made *renameio.PendingFile, content []byte, still func() error) error {
	defer func() { _ = made.Cleanup() }() // nothing is left of it once it is in its place
	if _, err := made.Write(content); err != nil {
		return err
	}
	if err := made.Sync(); err != nil {
		return err
	}
	if err := still(); err != nil {
		return err
	}
	return made.CloseAtomicallyReplace()
}

// writable asks the system whether this process may write a file. A folder that may
// be written would let it replace one that its author has closed to others.
func writable(file string) error {
	f, err := os.OpenFile(file, os.O_WRONLY|atOnce, 0)
	if err != nil {
		return err
	}
	return f.Close()
}

// names are the hard links of a file.
func names(info fs.FileInfo) uint64 {
	if about, ok := info.Sys().(*syscall.Stat_t); ok {
		return uint64(about.Nlink)
	}
	return 1
}

// alike makes a new file as the one in whose place it comes: of the same owner, group,
// mode and attributes. False where that cannot be.
func alike(made *os.File, file string, info fs.FileInfo) bool {
	about, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return false
	}
	fresh, err := made.Stat()
	if err != nil {
		return false
	}
	now, ok := fresh.Sys().(*syscall.Stat_t)
	if !ok {
		return false
	}
	if now.Uid != about.Uid || now.Gid != about.Gid {
		if made.Chown(int(about.Uid), int(about.Gid)) != nil || made.Chmod(info.Mode().Perm()) != nil {
			return false
		}
	}
	return sameAttributes(made.Name(), file)
}
