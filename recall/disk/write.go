package disk

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"bayhand/model/phrase"
)

// patienceToWrite is for writing a file and having it on the disk.
const patienceToWrite = 20 * time.Second

// Replace puts a content in the place of a file, so that nobody sees half of it and a
// power cut leaves the one or the other. What is there keeps its owner, group, mode,
// attributes and all its names: where the name is a symbolic link, the file behind it
// is written, and a file that cannot be replaced without taking it from its author is
// written in place, with its old content in a copy beside it (CopyOf) until it is
// whole. A file that may not be written is left alone. Still may call it off at the
// last moment; nil for no doubt.
func Replace(file string, content []byte, still func() error) error {
	_, err := ask(file, patienceToWrite, func() (struct{}, error) { return struct{}{}, replace(file, content, still) })
	return err
}

func replace(file string, content []byte, still func() error) error {
	if behind, err := filepath.EvalSymlinks(file); err == nil {
		file = behind
	}
	if still == nil {
		still = func() error { return nil }
	}
	info, err := os.Stat(file)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err == nil {
		if err := Regular(info); err != nil {
			return &fs.PathError{Op: "write", Path: file, Err: err}
		}
	}
	return put(file, info, content, still)
}

// CopyOf is where the old content of a file is while the file is written in place.
func CopyOf(file string) string {
	return filepath.Join(filepath.Dir(file), CopyPrefix+filepath.Base(file))
}

// CopyPrefix is how the names of such copies begin.
const CopyPrefix = ".before-writing-"

// inPlace writes a file that is there. Where it cannot be finished, the old content is
// put back.
func inPlace(file string, info fs.FileInfo, content []byte, still func() error) error {
	f, err := os.OpenFile(file, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	old, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	kept := CopyOf(file)
	if err := keepCopy(kept, info.Mode().Perm(), old); err != nil {
		return err
	}
	if err := still(); err != nil {
		return errors.Join(err, os.Remove(kept))
	}
	if err := overwrite(f, content); err != nil {
		if back := overwrite(f, old); back != nil {
			return fmt.Errorf("%w; what was in it is in %s", errors.Join(err, back), kept)
		}
		return errors.Join(err, os.Remove(kept))
	}
	return os.Remove(kept)
}

// keepCopy puts a copy on the disk. One that is there with another content is of a
// writing that broke off, and somebody has to look at it first.
func keepCopy(file string, mode fs.FileMode, content []byte) error {
	had, err := os.ReadFile(file)
	if err == nil && !bytes.Equal(had, content) {
		return fmt.Errorf("%s is left of a writing that broke off: compare it with the file, and take it away", file)
	}
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, mode)
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	return errors.Join(err, f.Sync(), f.Close())
}

func overwrite(f *os.File, content []byte) error {
	if _, err := f.WriteAt(content, 0); err != nil {
		return err
	}
	if err := f.Truncate(int64(len(content))); err != nil {
		return err
	}
	return f.Sync()
}

// taken is a file that is there already.
type taken struct{ file string }

func (t *taken) Error() string {
	return phrase.Put("{file} is there already, and nothing was written; choose another name", "file", t.file)
}

func (t *taken) Is(target error) bool { return target == fs.ErrExist }

// Create writes a file that must not be there yet, with the folders above it; it is
// there whole or not at all. One that is there is fs.ErrExist.
func Create(file string, content []byte) error {
	_, err := ask(file, patienceToWrite, func() (struct{}, error) { return struct{}{}, create(file, content) })
	return err
}

func create(file string, content []byte) error {
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		return err
	}
	if _, err := os.Lstat(file); err == nil {
		return &taken{file}
	}
	made, err := beside(file, content)
	if err != nil {
		return err
	}
	err = os.Link(made, file)
	removed := os.Remove(made)
	switch {
	case err == nil:
		return removed
	case errors.Is(err, fs.ErrExist):
		return &taken{file}
	}
	return errors.Join(createHere(file, content), removed) // this file system has no links
}

// beside writes a new file in the folder of another, under a name that nothing has.
func beside(file string, content []byte) (string, error) {
	for n := 0; ; n++ {
		made := filepath.Join(filepath.Dir(file), ".new-"+strconv.Itoa(os.Getpid())+"-"+strconv.Itoa(n)+"-"+filepath.Base(file))
		err := createHere(made, content)
		if !errors.Is(err, fs.ErrExist) {
			return made, err
		}
	}
}

// createHere writes a new file, and takes it away again where that fails.
func createHere(file string, content []byte) error {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return &taken{file}
	}
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return errors.Join(err, os.Remove(file))
	}
	return nil
}
