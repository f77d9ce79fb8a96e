package files

import (
	"os"
	"sync"

	"bayhand/model/heard"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
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
}

// Sound says whether the session can be relied on: it was read without errors.
func (s *Session) Sound() bool { return s.Session != nil && !s.Problems.Errors() }

// Library has read a studio's files; whoever looks again takes apart only those
// that changed. Many may ask at once.
type Library struct {
	place Place
	// mu guards the fields below.
	mu     sync.Mutex
	studio *Studio
	stamp  stamp
	// sessions are by name, as they read with this studio.
	sessions map[string]entry
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
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.studio != nil && l.stamp.holds() {
		return l.studio, nil
	}
	file := l.place.Studio
	src, err := os.ReadFile(file)
	if err != nil {
		return nil, &Unread{What: "the studio's file", File: file, Err: err}
	}
	now := stampOf(file, src, nil)
	if l.studio == nil || l.stamp.sum != now.sum {
		l.studio, l.sessions = readStudio(file, src), map[string]entry{}
	}
	l.stamp = now
	return l.studio, nil
}

func readStudio(file string, src []byte) *Studio {
	s := &Studio{File: file, Source: src}
	s.Studio, s.Places, s.Problems = text.ReadStudio(file, src)
	if s.Studio != nil && !s.Problems.Errors() {
		s.Room = heard.NewRoom(s.Studio)
	}
	return s
}

// Session reads a session, by its name or path, and those that it is like, as they
// read in a studio that could be made sense of. What is wrong in them is in its
// problems; the error is an Unread, for a file that is not there.
func (l *Library) Session(in *Studio, name string) (*Session, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	has, ok := l.sessions[name]
	if !ok || in != l.studio || !allHold(has.from) {
		has = l.place.read(in, name)
		if in == l.studio && l.sessions != nil {
			l.sessions[name] = has
		}
	}
	return has.session, has.err
}

// read reads a session, and stamps what it was read from.
func (p Place) read(in *Studio, name string) (e entry) {
	s := &Session{Name: name, Sources: map[string][]byte{}}
	open := func(name string) (string, []byte, error) {
		file, src, err := p.open(name)
		e.from = append(e.from, stampOf(file, src, err))
		if err == nil {
			s.Sources[file] = src
		}
		return file, src, err
	}
	file, src, err := open(name)
	if err != nil {
		e.err = err
		return e
	}
	s.Session, s.Places, s.Problems = text.ReadSession(file, src, in.Studio, open)
	e.session = s
	return e
}

func (p Place) open(name string) (string, []byte, error) {
	file := p.Session(name)
	src, err := os.ReadFile(file)
	if err != nil {
		return file, nil, p.noSession(name, file, err)
	}
	return file, src, nil
}

// Sources is the text of the studio's file, by the name that problems use.
func (s *Studio) Sources() map[string][]byte { return map[string][]byte{s.File: s.Source} }
