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

func (n *noted) Write(p []byte) (int, error) {
	done, err := n.Writer.Write(p)
	if err != nil && n.lost == nil {
		n.lost = err
	}
	return done, err
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
