package files

import (
	"crypto/sha256"
	"errors"
	"io/fs"
	"time"

	"bayhand/recall/disk"
)

// stamp tells whether a file may have changed since it was read.
type stamp struct {
	file    string
	missing bool
	size    int64
	changed time.Time
	sum     [sha256.Size]byte
	// settled is false for a file that was written just before it was read: it may
	// have been written again within the same tick of the file system's clock.
	settled bool
}

// state is what a look at a stamp's file says.
type state int

const (
	changed   state = iota + 1
	unchanged       // the file is as it was when it was read
	silent          // the file system does not answer
)

// err is why a state tells nothing new; nil where it does.
func (s state) err() error {
	if s == silent {
		return disk.ErrStalled
	}
	return nil
}

// coarsest is the coarsest tick of a file system's clock: two seconds, on FAT.
const coarsest = 2 * time.Second

// stamped reads a file, and stamps it as the system had it before: whatever is written or put in
// its place while it is read, even with a time of long ago, is a change.
func stamped(file string, read func(file string) ([]byte, error)) ([]byte, stamp, error) {
	s := stamp{file: file}
	if info, err := disk.Stat(file); err == nil {
		s.size, s.changed = info.Size(), info.ModTime()
		s.settled = settled(info)
	}
	src, err := read(file)
	if err != nil {
		return nil, stamp{file: file, missing: true}, err
	}
	s.sum = sha256.Sum256(src)
	return src, s, nil
}

func settled(info fs.FileInfo) bool { return time.Since(info.ModTime()) > coarsest }

// stat is what the system says of a file.
type stat func(file string) (fs.FileInfo, error)

// look says how the file is by what the system says of it, and gives the stamp as it
// is after looking: a file that was found unchanged after its tick has passed is not
// read again.
func (s stamp) look(stat stat) (stamp, state) {
	info, err := stat(s.file)
	switch {
	case errors.Is(err, disk.ErrStalled):
		return s, silent
	case s.missing || err != nil:
		if s.missing && errors.Is(err, fs.ErrNotExist) {
			return s, unchanged
		}
		return s, changed
	case info.Size() != s.size || !info.ModTime().Equal(s.changed):
		return s, changed
	case s.settled:
		return s, unchanged
	}
	is := settled(info) // before it is read
	src, err := disk.Text(s.file)
	switch {
	case errors.Is(err, disk.ErrStalled):
		return s, silent
	case err != nil || sha256.Sum256(src) != s.sum:
		return s, changed
	}
	s.settled = is
	return s, unchanged
}

// lookAt says how several files are together, and gives their stamps after looking.
func lookAt(all []stamp, stat stat) ([]stamp, state) {
	after := make([]stamp, len(all))
	found := unchanged
	for i, s := range all {
		var one state
		if after[i], one = s.look(stat); one == changed {
			return all, changed
		} else if one == silent {
			found = silent
		}
	}
	return after, found
}
