package main

import (
	"debug/buildinfo"
	"fmt"
	"io/fs"
	"os"
	"sync"

	"bayhand/recall/keep"
)

// installed is the program's file as this process was started from it. A package
// that is upgraded puts another in its place, and this process stays the old one.
type installed struct {
	file  string
	own   string // the version of this process
	begun fs.FileInfo

	mu   sync.Mutex // guards those below
	last fs.FileInfo
	told []keep.Problem
}

// newInstalled looks at the program's own file; where that cannot be found there
// is nothing to compare.
func newInstalled(file, own string) *installed {
	begun, err := os.Stat(file)
	if err != nil {
		return &installed{}
	}
	return &installed{file: file, own: own, begun: begun, last: begun}
}

// ownFile is installed for this process.
func ownFile() *installed {
	file, err := os.Executable()
	if err != nil {
		return &installed{}
	}
	return newInstalled(file, version())
}

// problems says that another version is installed by now. It reads that file only
// when it changed.
func (i *installed) problems() []keep.Problem {
	if i.begun == nil {
		return nil
	}
	now, err := os.Stat(i.file)
	if err != nil {
		return nil // it is just being replaced, or was removed
	}
	i.mu.Lock()
	defer i.mu.Unlock()
	if sameFile(now, i.last) {
		return i.told
	}
	i.last, i.told = now, nil
	info, err := buildinfo.ReadFile(i.file)
	if err != nil || sameFile(now, i.begun) || versionOf(info) == i.own {
		return nil
	}
	i.told = []keep.Problem{{
		Code: "newer-installed", Severity: "advice", Since: now.ModTime(),
		Message: fmt.Sprintf("bayhand %s is installed, and the daemon that runs is %s; restart it when nobody is in the middle of a recall; it then asks whether the bay is still as it was left", versionOf(info), i.own),
	}}
	return i.told
}

func sameFile(a, b fs.FileInfo) bool {
	return os.SameFile(a, b) && a.ModTime().Equal(b.ModTime()) && a.Size() == b.Size()
}
