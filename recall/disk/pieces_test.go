package disk

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// slow reads each piece after a while.
type slow struct {
	io.ReaderAt
	wait time.Duration
}

func (s slow) ReadAt(piece []byte, at int64) (int, error) {
	time.Sleep(s.wait)
	return s.ReaderAt.ReadAt(piece, at)
}

// A file that takes longer than one question may is read whole, piece by piece; one piece
// that takes longer is a file system that does not answer.
func TestPiecesOfASlowFile(t *testing.T) {
	content := bytes.Repeat([]byte("heron "), 1000)
	file := filepath.Join(t.TempDir(), "journal.db")
	fresh(t, anyName, func(t *testing.T) {
		begun := time.Now()
		from := &Pieces{file: file, from: slow{bytes.NewReader(content), patience / 2}}
		got, err := io.ReadAll(io.NewSectionReader(from, 0, int64(len(content))))
		if took := time.Since(begun); !bytes.Equal(got, content) || err != nil || took < 2*patience {
			t.Errorf("%d of %d bytes after %v: %v", len(got), len(content), took, err)
		}
		from.from = slow{bytes.NewReader(content), 2 * patience}
		begun = time.Now()
		if _, err := from.ReadAt(make([]byte, 10), 0); !errors.Is(err, ErrStalled) || time.Since(begun) != patience {
			t.Errorf("after %v: %v", time.Since(begun), err)
		}
		time.Sleep(patience) // until it answered
	})
}

// What is no regular file is not opened, and the end of one is told as such.
func TestPiecesOfWhat(t *testing.T) {
	folder := t.TempDir()
	if _, err := Open(folder); !errors.Is(err, ErrIrregular) {
		t.Errorf("a folder: %v", err)
	}
	file := filepath.Join(folder, "a")
	must(t, os.WriteFile(file, []byte("abc"), 0o600))
	p, err := Open(file)
	must(t, err)
	defer p.Close()
	piece := make([]byte, 2)
	if n, err := p.ReadAt(piece, 2); n != 1 || piece[0] != 'c' || !errors.Is(err, io.EOF) {
		t.Errorf("%d bytes, %q, %v", n, piece, err)
	}
}
