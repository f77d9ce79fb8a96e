package files_test

import (
	"io/fs"
	"strings"
	"syscall"
	"testing"

	"bayhand/recall/files"
)

// A disk that is full is told from a folder that is not there: another folder is no help.
func TestUnwrittenSaysWhatHelps(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{&fs.PathError{Op: "write", Path: "x.pdf", Err: syscall.ENOSPC}, "make room there"},
		{&fs.PathError{Op: "open", Path: "x.pdf", Err: syscall.ENOENT}, "give a file in a folder that is there"},
		{&fs.PathError{Op: "open", Path: "x.pdf", Err: syscall.EACCES}, "give a file in a folder that is there and yours"},
	} {
		if got := (&files.Unwritten{File: "x.pdf", Err: c.err}).Error(); !strings.Contains(got, c.want) {
			t.Errorf("%v: %q, without %q", c.err, got, c.want)
		}
	}
}
