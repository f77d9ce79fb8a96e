package files

import (
	"errors"
	"fmt"
	"slices"
	"sync"

	"golang.org/x/sync/singleflight"

	"bayhand/model/check"
	"bayhand/model/heard"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/disk"
)

// Studio is a studio's file as it was read.
type Studio struct {
	File string
	// Studio is nil where the file could not be made sense of.
	Studio *studio.Studio
	// Room is nil where the file has errors.
	Room     *heard.Room
	Places   text.Places
	Problems text.Problems
	Source   []byte
}

// Session is the file of a session as it was read with its studio.
type Session struct {
	Name string
	// Session is nil where the file could not be made sense of.
	Session  *session.Session
	Places   text.Places
	Problems text.Problems
	// Sources are its own file and those that it is like, by their names.
	Sources map[string][]byte
	// findings are what check has to say of it in its studio, looked for once.
	findings func() []check.Finding
}

// Sound says whether the session can be relied on: it was read without errors.
func (s *Session) Sound() bool { return s.Session != nil && !s.Problems.Errors() }

// Library has read a studio's files; whoever looks again takes apart only those
// that changed. Many may ask at once: nothing is locked while a file is read. Where
// the file system does not answer, what was read last is given, and that is said.
type Library struct {
	place Place
	// reading joins those who want the same session at once.
	reading singleflight.Group
	// mu guards the fields below.
	mu     sync.Mutex
	studio *Studio
	stamp  stamp
	// sessions are by name, as they read with this studio.
	sessions map[string]entry
	// inFolder are the files of the folder when it was read last.
	inFolder []string
	// outdated are the studio's file and the folder, where they cannot be read now.
	outdated text.Problems
}

// entry is a session as it was read, or why it was not, with the stamps of its own
// file and of those that it is like.
type entry struct {
	session *Session
	err     error
	from    []stamp
}

// NewLibrary is a library of the files at a place; nothing is read yet.
func NewLibrary(at Place) *Library { return &Library{place: at} }

// Place is where the files are.
func (l *Library) Place() Place { return l.place }

// Studio reads the studio's file. What is wrong in it is in its problems; the error
// is an Unread, for a file that is not there.
func (l *Library) Studio() (*Studio, error) {
	had, was := l.had()
	file := l.place.Studio
	if had != nil {
		seen, is := was.look(disk.Stat)
		if is != changed {
			l.heard(file, is.err())
			l.keep(had, seen)
			return had, nil
		}
	}
	src, now, err := stamped(file, disk.Text)
	switch {
	case had != nil && errors.Is(err, disk.ErrStalled):
		l.heard(file, err)
		return had, nil
	case err != nil:
		return nil, &Unread{What: "the studio's file", File: file, Err: err}
	}
	l.heard(file, nil)
	if had == nil || was.sum != now.sum {
		had = readStudio(file, src)
	}
	return l.keep(had, now), nil
}

// had is the studio as it was read last, nil for never.
func (l *Library) had() (*Studio, stamp) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.studio, l.stamp
}

// keep takes a studio as it was read, unless another has read the same meanwhile, and
// gives the one that is kept.
func (l *Library) keep(read *Studio, now stamp) *Studio {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.studio != read && (l.studio == nil || l.stamp.sum != now.sum) {
		l.studio, l.sessions = read, map[string]entry{}
	}
	l.stamp = now
	return l.studio
}

// heard notes whether a file or folder could be read.
func (l *Library) heard(file string, err error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.outdated = slices.DeleteFunc(l.outdated, func(p text.Problem) bool { return p.File == file })
	if err != nil {
		l.outdated = append(l.outdated, lastRead(file, err))
	}
}

// Outdated says which of the studio's file and the folder of its sessions cannot be
// read now, so that what was read of them last is what holds.
func (l *Library) Outdated() text.Problems {
	l.mu.Lock()
	defer l.mu.Unlock()
	return slices.Clone(l.outdated)
}

// outdatedCode is the code of a file that was read once and cannot be read now.
const outdatedCode = "file-outdated"

func lastRead(file string, err error) text.Problem {
	return text.Problem{Code: outdatedCode, Severity: text.Warning, Place: text.Place{File: file},
		Message: fmt.Sprintf("this cannot be read now (%v); what was read of it last holds", Bare(err)), Hint: "see whether its disk or its server is there"}
}

func readStudio(file string, src []byte) *Studio {
	s := &Studio{File: file, Source: src}
	s.Studio, s.Places, s.Problems = text.ReadStudio(file, src)
	if s.Studio != nil && !s.Problems.Errors() {
		s.Room = heard.NewRoom(s.Studio)
	}
	return s
}

// Sources is the text of the studio's file, by the name that problems use.
func (s *Studio) Sources() map[string][]byte { return map[string][]byte{s.File: s.Source} }
