package disk

import (
	"io"
	"math"
)

// Pieces is a regular file that is read piece by piece, each in bounded time. All of it
// takes as long as it is large. One goroutine at a time may use it.
type Pieces struct {
	file string
	from io.ReaderAt
	// close lets go of the file; nil where another reader stands for one.
	close func() error
	// own is what the system reads into; another one once it did not answer in time.
	own []byte
}

// Open opens a regular file to read it in pieces; the error is as that of Read.
func Open(file string) (*Pieces, error) {
	return ask(file, patience, func() (*Pieces, error) {
		f, err := openRegular(file, math.MaxInt64)
		if err != nil {
			return nil, err
		}
		return &Pieces{file: file, from: f, close: f.Close}, nil
	})
}

// ReadAt reads one piece as io.ReaderAt says; ErrStalled where the file system does not
// answer.
func (p *Pieces) ReadAt(piece []byte, at int64) (int, error) {
	own := p.own
	if len(own) < len(piece) {
		own = make([]byte, len(piece))
	}
	p.own = nil // until it is known that nobody reads into it any more
	type read struct {
		n   int
		err error
	}
	got, err := ask(p.file, patience, func() (read, error) {
		n, err := p.from.ReadAt(own[:len(piece)], at)
		return read{n, err}, nil
	})
	if err != nil {
		return 0, err
	}
	p.own = own
	return copy(piece, own[:got.n]), got.err
}

// Close lets go of the file.
func (p *Pieces) Close() error { return p.close() }
