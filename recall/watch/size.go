package watch

import (
	"os"
	"path/filepath"

	"github.com/fsnotify/fsnotify"
)

// sizes are the sizes of files as they were looked at last, and whether they have
// become smaller since.
type sizes map[string]*size

type size struct {
	was     int64
	smaller bool
}

// sizesIn are the sizes of the files in folders that matter.
func sizesIn(folders []string, matters func(string) bool) sizes {
	all := sizes{}
	for _, folder := range folders {
		files, err := os.ReadDir(folder)
		if err != nil {
			continue
		}
		for _, f := range files {
			file := filepath.Join(folder, f.Name())
			if matters != nil && !matters(file) {
				continue
			}
			if info, err := f.Info(); err == nil && info.Mode().IsRegular() {
				all[file] = &size{was: info.Size()}
			}
		}
	}
	return all
}

// follow takes in a change of a file. One that was created, or renamed to where it
// is, counts as whole; one that was written counts as smaller until it is as
// large as it was.
func (s sizes) follow(e fsnotify.Event) {
	info, err := os.Stat(e.Name)
	if err != nil || !info.Mode().IsRegular() {
		return // whether it is missed is for whoever looks
	}
	had := s[e.Name]
	if had == nil || e.Has(fsnotify.Create) {
		s[e.Name] = &size{was: info.Size()}
		return
	}
	had.smaller = info.Size() < had.was
}

// shrunk says whether any file is smaller than it was when it was looked at.
func (s sizes) shrunk() bool {
	for _, f := range s {
		if f.smaller {
			return true
		}
	}
	return false
}
