package journal

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strconv"
)

// mostPasses is how often what differs is taken over before a copy is given up: nothing may be
// written while one goes on, which takes a tenth of a second for hundreds of megabytes.
const mostPasses = 100

// Copy writes the journal to a new file, whole or not at all, and says how often
// it had been written then. A process may hold it meanwhile: then the copy is looked at
// after each pass, every page and every sum, until it is whole. A file that is there
// already is left, with an error that is fs.ErrExist. It takes time linear in the size of
// the file, and little memory.
func Copy(file, to string) (writes uint64, err error) {
	if _, err := os.Lstat(to); err == nil {
		return 0, fmt.Errorf("%s: %w", to, fs.ErrExist)
	}
	d, err := newDuplicate(file, to)
	if err != nil {
		return 0, err
	}
	defer d.end()
	if writes, err = d.whole(); errors.Is(err, ErrDamaged) {
		return 0, fmt.Errorf("no whole copy of %s could be made: %w", file, err)
	} else if err != nil {
		return 0, err
	}
	return writes, d.place()
}

// whole takes over what differs until the copy is whole and on the disk, and says how often
// the journal had been written. A file that is damaged and that nobody writes is ErrDamaged.
func (d *duplicate) whole() (writes uint64, err error) {
	for range mostPasses {
		differed, failed := d.pass(context.Background())
		if failed != nil {
			return 0, failed
		}
		if !differed {
			return 0, err
		}
		if writes, err = whole(d.made.Name()); err == nil {
			return writes, d.keep()
		} else if !errors.Is(err, ErrDamaged) {
			return 0, err
		}
	}
	return 0, err
}

// whole looks at a copy that nobody holds, and says how often it was written.
func whole(file string) (uint64, error) {
	found, err := look(file)
	return found.end.writes, err
}

// Restore puts a copy in the place of a journal, which nobody may hold, and moves
// that one aside; where says where to, empty if there was none. A copy that is
// damaged, or written by a newer bayhand, is refused before anything is touched. The
// journal is in its place until the copy is whole beside it.
func Restore(file, from string) (where string, err error) {
	if _, err := whole(from); err != nil {
		return "", err
	}
	d, err := newDuplicate(from, file)
	if err != nil {
		return "", err
	}
	defer d.end()
	writes, err := d.whole()
	if err != nil {
		return "", err
	}
	if _, err := os.Stat(file); err == nil {
		if err := free(file); err != nil {
			return "", err
		}
		if where, err = aside(file); err != nil {
			return "", err
		}
	}
	if err := d.place(); err != nil {
		if where != "" {
			err = errors.Join(err, os.Rename(where, file))
		}
		return "", err
	}
	writeLast(file, writes)
	return where, nil
}

// free says that no process holds the file. What is wrong with it does not matter.
func free(file string) error {
	j, err := open(file, false)
	if errors.Is(err, ErrHeld) {
		return err
	}
	if err == nil {
		return j.db.Close()
	}
	return nil
}

// aside moves a journal to the first name beside it that nothing has. The name is taken by
// an empty file, since not every file system has hard links.
func aside(file string) (string, error) {
	for n := 1; ; n++ {
		to := file + ".before-" + strconv.Itoa(n)
		taken, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
		if errors.Is(err, fs.ErrExist) {
			continue
		} else if err != nil {
			return "", err
		}
		if err := errors.Join(taken.Close(), os.Rename(file, to)); err != nil {
			return "", errors.Join(err, os.Remove(to))
		}
		return to, nil
	}
}
