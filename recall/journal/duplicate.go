package journal

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"bayhand/recall/disk"
)

// A journal may be written while it is copied, and a large one takes longer to copy than
// passes between two writes. So it is copied in passes: the first takes all of it, each
// further one only what differs by now, which is read and hardly written. A pass during
// which nothing was written leaves a copy of one moment.

// pieceSize is how much is read at a time. The pages of the file never straddle two pieces.
const pieceSize = 1 << 20

// unfinished stands in the names of copies that are not whole yet, before their number.
const unfinished = ".unfinished-"

// duplicate is a copy in the making.
type duplicate struct {
	// to is where it will be once it is whole.
	to        string
	from      *disk.Pieces
	made      *os.File
	passes    int
	piece, by []byte
}

// newDuplicate begins a copy of a file. What an earlier one left behind that was killed is
// taken away.
func newDuplicate(file, to string) (*duplicate, error) {
	sweep(to, unfinished)
	from, err := disk.Open(file)
	if err != nil {
		return nil, err
	}
	made, err := os.CreateTemp(filepath.Dir(to), filepath.Base(to)+unfinished+"*")
	if err != nil {
		return nil, errors.Join(err, from.Close())
	}
	return &duplicate{to: to, from: from, made: made, piece: make([]byte, pieceSize), by: make([]byte, pieceSize)}, nil
}

// pass takes over what differs, and says whether that was anything.
func (d *duplicate) pass(ctx context.Context) (differed bool, err error) {
	defer func() { d.passes++ }()
	for at := int64(0); ; at += pieceSize {
		if err := ctx.Err(); err != nil {
			return differed, err
		}
		n, err := d.from.ReadAt(d.piece, at)
		if err != nil && !errors.Is(err, io.EOF) {
			return differed, err
		}
		end := err != nil
		if !d.has(d.piece[:n], at) {
			differed = true
			if _, err := d.made.WriteAt(d.piece[:n], at); err != nil {
				return differed, err
			}
		}
		if end {
			return differed, nil
		}
	}
}

// has says whether a piece is in the copy already.
func (d *duplicate) has(piece []byte, at int64) bool {
	if d.passes == 0 {
		return false
	}
	n, _ := d.made.ReadAt(d.by[:len(piece)], at)
	return bytes.Equal(d.by[:n], piece)
}

// keep has the copy on the disk.
func (d *duplicate) keep() error { return d.made.Sync() }

// place puts a copy that was kept where it belongs. On some systems an open file does not
// move.
func (d *duplicate) place() error {
	if err := d.made.Close(); err != nil {
		return err
	}
	return os.Rename(d.made.Name(), d.to)
}

// end lets go of the files, and takes away a copy that was not placed.
func (d *duplicate) end() {
	_ = d.from.Close() // it was only read
	_ = d.made.Close() // again, where it was placed
	_ = os.Remove(d.made.Name())
}

// number is what the system gives to a file with a name of its own.
var number = regexp.MustCompile(`^[0-9]+$`)

// sweep takes away the copies that were to become a file and were never whole: their maker
// was killed. The mark stands before the number in their names. Another copy to the same
// file that is in the making fails by it.
func sweep(to, mark string) {
	entries, err := os.ReadDir(filepath.Dir(to))
	if err != nil {
		return // making the copy will say
	}
	for _, e := range entries {
		if rest, is := strings.CutPrefix(e.Name(), filepath.Base(to)+mark); is && number.MatchString(rest) {
			_ = os.Remove(filepath.Join(filepath.Dir(to), e.Name()))
		}
	}
}
