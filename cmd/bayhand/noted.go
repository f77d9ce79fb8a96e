package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// noted is standard output, and why something of an answer did not come there: a disk that
// is full leaves half a file, which nobody else says.
type noted struct {
	io.Writer
	lost error
}

// Write writes nothing more once something was lost, and gives the same error again: what comes
// after a gap would be taken for the whole.
func (n *noted) Write(p []byte) (done int, err error) {
	if n.lost == nil {
		done, n.lost = n.Writer.Write(p)
	}
	return done, n.lost
}

// failure is what the command ends with where something of its answer was lost; nil where
// nothing was.
func (n *noted) failure() error {
	if n.lost == nil {
		return nil
	}
	reason := n.lost
	var path *fs.PathError
	if errors.As(n.lost, &path) {
		reason = path.Err
	}
	return &failure{cannot, fmt.Errorf("the answer could not be written: %w", reason)}
}

// fileOf is the file that something is written to; false where that is none.
func fileOf(w io.Writer) (*os.File, bool) {
	if n, is := w.(*noted); is {
		w = n.Writer
	}
	file, is := w.(*os.File)
	return file, is
}
