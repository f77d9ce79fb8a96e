package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"

	"bayhand/recall/disk"
)

// copies are how often a journal that is being written is copied until a copy is
// whole: a write takes milliseconds, a copy little more.
const copies = 20

// Copy writes the journal to a new file, whole or not at all, and says how often
// it had been written then. A process may hold it meanwhile: then each copy is
// looked at, every page and every sum, until one is whole. A file that is there
// already is left, with an error that is fs.ErrExist.
func Copy(file, to string) (writes uint64, err error) {
	if _, err := os.Lstat(to); err == nil {
		return 0, fmt.Errorf("%s: %w", to, fs.ErrExist)
	}
	for range copies {
		if writes, err = copyOnce(file, to); !errors.Is(err, ErrDamaged) {
			return writes, err
		}
	}
	return 0, fmt.Errorf("no whole copy of %s could be made: %w", file, err)
}

func copyOnce(file, to string) (uint64, error) {
	content, err := disk.Read(file, mostCopied)
	if err != nil {
		return 0, err
	}
	made, err := os.CreateTemp(filepath.Dir(to), filepath.Base(to)+".new-*")
	if err != nil {
		return 0, err
	}
	defer os.Remove(made.Name())
	_, err = made.Write(content)
	if err := errors.Join(err, made.Sync(), made.Close()); err != nil {
		return 0, err
	}
	writes, err := whole(made.Name())
	if err != nil {
		return 0, err
	}
	return writes, os.Rename(made.Name(), to)
}

// mostCopied bounds what is held while a journal is copied. A million events take
// a tenth of it.
const mostCopied = 4 << 30

// whole looks at a copy that nobody holds, and says how often it was written.
func whole(file string) (uint64, error) {
	if err := Check(file); err != nil {
		return 0, err
	}
	saved, err := Salvage(file)
	return saved.Writes, err
}

// Restore puts a copy in the place of a journal, which nobody may hold, and moves
// that one aside; where says where to, empty if there was none. A copy that is
// damaged, or written by a newer bayhand, is refused before anything is touched.
func Restore(file, from string) (where string, err error) {
	if _, err := whole(from); err != nil {
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
	writes, err := copyOnce(from, file)
	if err != nil {
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

// aside moves a journal to the first name beside it that nothing has.
func aside(file string) (string, error) {
	for n := 1; ; n++ {
		to := file + ".before-" + strconv.Itoa(n)
		if err := os.Link(file, to); errors.Is(err, fs.ErrExist) {
			continue
		} else if err != nil {
			return "", err
		}
		return to, os.Remove(file)
	}
}
