package files

import (
	"crypto/sha256"
	"errors"
	"io/fs"
	"os"
	"time"
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

// coarsest is the coarsest tick of a file system's clock: two seconds, on FAT.
const coarsest = 2 * time.Second

func stampOf(file string, src []byte, err error) stamp {
	s := stamp{file: file, missing: err != nil, sum: sha256.Sum256(src)}
	if info, err := os.Stat(file); err == nil {
		s.size, s.changed = info.Size(), info.ModTime()
		s.settled = time.Since(s.changed) > coarsest
	}
	return s
}

// holds says whether the file is as it was when it was read.
func (s stamp) holds() bool {
	info, err := os.Stat(s.file)
	if s.missing || err != nil {
		return s.missing && errors.Is(err, fs.ErrNotExist)
	}
	if info.Size() != s.size || !info.ModTime().Equal(s.changed) {
		return false
	}
	if s.settled {
		return true
	}
	src, err := os.ReadFile(s.file)
	return err == nil && sha256.Sum256(src) == s.sum
}

// allHold says whether all the files are as they were; false for none.
func allHold(stamps []stamp) bool {
	for _, s := range stamps {
		if !s.holds() {
			return false
		}
	}
	return len(stamps) > 0
}
