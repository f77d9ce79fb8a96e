package main

import (
	"crypto/sha256"
	"errors"
	"io/fs"
	"maps"
	"os"
	"sync"
	"time"

	"bayhand/model/session"
	"bayhand/model/text"
)

// library remembers what files said, so that whoever looks again takes apart
// only those that changed. The zero library is ready. What it gives is shared: it
// is read, never changed.
type library struct {
	// mu guards the fields below.
	mu     sync.Mutex
	studio *papers
	stamp  stamp
	// shelf are the sessions by name, as they read with this studio.
	shelf map[string]shelved
}

// shelved is a session as it was read, from its own file and those that it is
// like.
type shelved struct {
	session  *session.Session
	problems text.Problems
	err      error
	from     []stamp
}

// stamp tells whether a file may have changed since it was read.
type stamp struct {
	file    string
	missing bool
	size    int64
	changed time.Time
	sum     [sha256.Size]byte
	// settled is false for a file that was written just before it was read: it may
	// have been written again within the same tick of the file system's clock.
	settled bool
}

// coarsest is the coarsest tick of a file system's clock: two seconds, on FAT.
const coarsest = 2 * time.Second

func stampOf(file string, src []byte, err error) stamp {
	s := stamp{file: file, missing: err != nil, sum: sha256.Sum256(src)}
	if info, err := os.Stat(file); err == nil {
		s.size, s.changed = info.Size(), info.ModTime()
		s.settled = time.Since(s.changed) > coarsest
	}
	return s
}

// holds says whether the file is as it was when it was read.
func (s stamp) holds() bool {
	info, err := os.Stat(s.file)
	if s.missing || err != nil {
		return s.missing && errors.Is(err, fs.ErrNotExist)
	}
	if info.Size() != s.size || !info.ModTime().Equal(s.changed) {
		return false
	}
	if s.settled {
		return true
	}
	src, err := os.ReadFile(s.file)
	return err == nil && sha256.Sum256(src) == s.sum
}

// openStudio is app.openStudio, without reading again what is as it was.
func (l *library) openStudio(a *app) (*papers, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.studio != nil && l.stamp.holds() {
		return l.studio.copied(), nil
	}
	p, err := a.openStudio()
	if err != nil {
		return nil, err
	}
	src := p.sources[a.studioFile]
	now := stampOf(a.studioFile, src, nil)
	if l.studio == nil || l.stamp.sum != now.sum {
		l.shelf = map[string]shelved{}
		l.studio = p
	}
	l.stamp = now
	return l.studio.copied(), nil
}

// copied are papers that can be added to.
func (p *papers) copied() *papers {
	c := *p
	c.sources = maps.Clone(p.sources)
	return &c
}

// readSession is app.readSession, without reading again what is as it was.
func (l *library) readSession(a *app, p *papers, name string) (*session.Session, text.Problems, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	has, ok := l.shelf[name]
	if !ok || l.studio == nil || p.studio != l.studio.studio || !has.holds() {
		has = a.shelve(p, name)
		if l.studio != nil && p.studio == l.studio.studio {
			l.shelf[name] = has
		}
	}
	return has.session, has.problems, has.err
}

func (s shelved) holds() bool {
	for _, f := range s.from {
		if !f.holds() {
			return false
		}
	}
	return len(s.from) > 0
}

// shelve reads a session, and notes what it was read from.
func (a *app) shelve(p *papers, name string) (s shelved) {
	open := func(name string) (string, []byte, error) {
		file, src, err := a.openSession(p, name)
		s.from = append(s.from, stampOf(file, src, err))
		return file, src, err
	}
	file, src, err := open(name)
	if err != nil {
		s.err = err
		return s
	}
	s.session, _, s.problems = text.ReadSession(file, src, p.studio, open)
	return s
}
