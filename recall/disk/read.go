package disk

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"syscall"

	"bayhand/model/phrase"
)

// MostText is how much of a text that people write is read: the largest studio that
// is known has 140 kB.
const MostText = 4 << 20

// ErrIrregular is a pipe, a socket, a device or a folder where a file should be.
var ErrIrregular = errors.New("no regular file")

// ErrTooLarge is a file that is larger than what is read of one.
var ErrTooLarge = errors.New("too large")

// odd is a file that is not read, with words for a person.
type odd struct {
	says string
	kind error
}

func (o *odd) Error() string { return o.says }
func (o *odd) Is(target error) bool {
	return target == o.kind || target == syscall.EISDIR && o.says == is(folder)
}

const folder = "a folder"

// kinds are the words for what is no regular file.
var kinds = []struct {
	bits  fs.FileMode
	words string
}{
	{fs.ModeDir, folder},
	{fs.ModeNamedPipe, "a pipe"},
	{fs.ModeSocket, "a socket"},
	{fs.ModeDevice, "a device"},
}

// Regular is nil for a regular file, and else an ErrIrregular that says what it is.
func Regular(info fs.FileInfo) error {
	if info.Mode().IsRegular() {
		return nil
	}
	for _, k := range kinds {
		if info.Mode()&k.bits != 0 {
			return &odd{is(k.words), ErrIrregular}
		}
	}
	return &odd{"it is no regular file", ErrIrregular}
}

func is(kind string) string { return phrase.Put("it is {kind} and no file", "kind", kind) }

func within(size, most int64) error {
	if size <= most {
		return nil
	}
	return &odd{fmt.Sprintf("it is larger than %d MiB, the most that is read", most>>20), ErrTooLarge}
}

// Text is what stands in a text that people write: a regular file of MostText bytes
// at most. It ends in bounded time.
func Text(file string) ([]byte, error) { return Read(file, MostText) }

// Read is what stands in a regular file that has so many bytes at most; the error is
// an *fs.PathError about ErrIrregular, ErrTooLarge, ErrStalled or what the system says.
// What is no regular file is not opened, since that alone can do something to a
// device; and as another may have taken its place in between, opening waits for
// nobody and the file is looked at again once it is open.
func Read(file string, most int64) ([]byte, error) {
	return ask(file, patience, func() ([]byte, error) { return read(file, most) })
}

func read(file string, most int64) ([]byte, error) {
	f, err := openRegular(file, most)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	src, err := io.ReadAll(io.LimitReader(f, most+1))
	if err != nil {
		return nil, err
	}
	if err := within(int64(len(src)), most); err != nil {
		return nil, unreadable(file, err)
	}
	return src, nil
}

func unreadable(file string, err error) error { return &fs.PathError{Op: "read", Path: file, Err: err} }

// openRegular opens a regular file of so many bytes at most.
func openRegular(file string, most int64) (*os.File, error) {
	info, err := os.Stat(file)
	if to, link := os.Readlink(file); errors.Is(err, fs.ErrNotExist) && link == nil {
		return nil, unreadable(file, &odd{fmt.Sprintf("it is a link to %s, which is not there", to), ErrIrregular})
	}
	if err != nil {
		return nil, err
	}
	if err := errors.Join(Regular(info), within(info.Size(), most)); err != nil {
		return nil, unreadable(file, err)
	}
	f, err := os.OpenFile(file, os.O_RDONLY|atOnce, 0)
	if err != nil {
		return nil, err
	}
	if info, err = f.Stat(); err == nil {
		err = Regular(info)
	}
	if err != nil {
		return nil, errors.Join(unreadable(file, err), f.Close())
	}
	return f, nil
}

// Stat is what the system says of a file, in bounded time.
func Stat(file string) (fs.FileInfo, error) {
	return ask(file, patience, func() (fs.FileInfo, error) { return os.Stat(file) })
}

// Names are the entries of a folder, sorted by name, in bounded time.
func Names(folder string) ([]fs.DirEntry, error) {
	return ask(folder, patience, func() ([]fs.DirEntry, error) { return os.ReadDir(folder) })
}

// Infos are what the system says of the files of a folder that are wanted, by their
// paths, in bounded time. Links are followed; what cannot be looked at is left out.
func Infos(folder string, wanted func(file string) bool) (map[string]fs.FileInfo, error) {
	return ask(folder, patienceForAll, func() (map[string]fs.FileInfo, error) { return infos(folder, wanted) })
}
