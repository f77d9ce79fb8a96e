package watch

import (
	"io/fs"
	"os"

	"github.com/fsnotify/fsnotify"

	"bayhand/recall/disk"
)

// sizes are files as they were when they were looked at last, and as they are.
type sizes map[string]*size

// size is one file.
type size struct {
	// was is how it was looked at, now how it is; closed is how it was when whoever
	// wrote it closed it, nil for never.
	was, now, closed fs.FileInfo
	// written is true where it was written since it was looked at.
	written bool
}

// smaller says whether the file has lost something since it was looked at. Another
// file in its place, put there by renaming and not written since, counts as whole.
func (f *size) smaller() bool {
	regular := f.was.Mode().IsRegular() && f.now.Mode().IsRegular()
	return regular && f.now.Size() < f.was.Size() && (f.written || os.SameFile(f.was, f.now))
}

// isClosed says whether nobody has written it since it was closed.
func (f *size) isClosed() bool { return f.closed != nil && still(f.closed, f.now) }

// still says whether size and time of a file stand still.
func still(a, b fs.FileInfo) bool { return a.Size() == b.Size() && a.ModTime().Equal(b.ModTime()) }

// sizesIn are the files in folders that matter, and which of the folders could not be
// looked through, and why.
func sizesIn(folders []string, matters func(string) bool) (all sizes, failed string) {
	all = sizes{}
	for _, folder := range folders {
		infos, err := disk.Infos(folder, matters)
		if err != nil {
			failed += err.Error() + "\n"
		}
		for file, info := range infos {
			all[file] = &size{was: info, now: info}
		}
	}
	return all, failed
}

// follow takes in that a file may have changed. One that is new counts as whole.
func (s sizes) follow(file string) {
	info, err := disk.Stat(file)
	if err != nil {
		delete(s, file) // whether it is missed is for whoever looks
		return
	}
	had := s[file]
	if had == nil {
		s[file] = &size{was: info, now: info}
		return
	}
	had.now = info
}

// isClosed takes in that somebody who wrote a file has closed it.
func (s sizes) isClosed(file string) {
	s.follow(file)
	if f := s[file]; f != nil {
		f.closed = f.now
	}
}

// isWritten takes in that a file was written.
func (s sizes) isWritten(e fsnotify.Event) {
	if f := s[e.Name]; f != nil && e.Has(fsnotify.Write) {
		f.written = true
	}
}

// later takes in how all files are when the folders are looked through again.
func (s sizes) later(now sizes) {
	for file, f := range now {
		if had := s[file]; had != nil {
			had.now = f.now
		} else {
			s[file] = f
		}
	}
	for file := range s {
		if now[file] == nil {
			delete(s, file)
		}
	}
}

// same says whether all files are as they were when they were looked at, by size, time
// and mode; one that is new or gone is not.
func (s sizes) same(now sizes) bool {
	for file, f := range now {
		had := s[file]
		if had == nil || !still(had.was, f.now) || had.was.Mode() != f.now.Mode() {
			return false
		}
	}
	return len(s) == len(now)
}

// looked takes in that everything was looked at as it is.
func (s sizes) looked() {
	for _, f := range s {
		f.was, f.written = f.now, false
	}
}

// shrunk are the files that are smaller than when they were looked at.
func (s sizes) shrunk() []string {
	var all []string
	for file, f := range s {
		if f.smaller() {
			all = append(all, file)
		}
	}
	return all
}

// moved says whether one of the files has changed since that was asked last, or is
// being written by somebody who has not closed it.
func (s sizes) moved(files []string, closings bool) bool {
	moved := false
	for _, file := range files {
		had := s[file]
		if had == nil {
			continue
		}
		before := had.now
		s.follow(file)
		f := s[file]
		moved = moved || f == nil || !still(before, f.now) || closings && f.smaller() && !f.isClosed()
	}
	return moved
}
