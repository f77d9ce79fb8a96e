package files

import (
	"io/fs"
	"slices"
	"sync"

	"bayhand/model/check"
	"bayhand/model/text"
	"bayhand/recall/disk"
)

// Session reads a session, by its name or path, and those that it is like, as they
// read in a studio that could be made sense of. What is wrong in them is in its
// problems; the error is an Unread, for a file that is not there.
func (l *Library) Session(in *Studio, name string) (*Session, error) {
	return l.session(in, name, disk.Stat)
}

// Each reads sessions one after the other, as Session does. The folder is looked
// through once for all of them, which of thousands is a hundredth of the work.
func (l *Library) Each(in *Studio, names []string, do func(name string, s *Session, err error) error) error {
	infos, err := disk.Infos(l.place.Folder(), nil)
	if err != nil {
		infos = nil // then each file is asked for
	}
	swept := func(file string) (fs.FileInfo, error) {
		if info, ok := infos[file]; ok {
			return info, nil
		}
		return disk.Stat(file)
	}
	for _, name := range names {
		s, err := l.session(in, name, swept)
		if err := do(name, s, err); err != nil {
			return err
		}
	}
	return nil
}

func (l *Library) session(in *Studio, name string, stat stat) (*Session, error) {
	if has, ok := l.shelved(in, name); ok {
		from, is := lookAt(has.from, stat)
		switch is {
		case unchanged:
			has.from = from
			l.shelve(in, name, has)
			return has.session, nil
		case silent:
			return has.session.lastRead(l.place.Session(name)), nil
		case changed:
		}
	}
	read := func() (any, error) {
		e := l.place.read(in, name)
		l.shelve(in, name, e)
		return e, nil
	}
	if !l.holds(in) {
		e := l.place.read(in, name)
		return e.session, e.err
	}
	made, _, shared := l.reading.Do(name, read)
	e := made.(entry)
	if shared {
		// The other may have read it before the change that this one heard of.
		if _, is := lookAt(e.from, disk.Stat); is == changed {
			e = l.place.read(in, name)
			l.shelve(in, name, e)
		}
	}
	return e.session, e.err
}

// holds says whether a studio is the one that the sessions were read in.
func (l *Library) holds(in *Studio) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return in == l.studio
}

func (l *Library) shelved(in *Studio, name string) (entry, bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	has, ok := l.sessions[name]
	return has, ok && in == l.studio
}

// shelve keeps a session that could be read.
func (l *Library) shelve(in *Studio, name string, e entry) {
	l.mu.Lock()
	defer l.mu.Unlock()
	switch {
	case in != l.studio || l.sessions == nil:
	case e.err != nil:
		delete(l.sessions, name)
	default:
		l.sessions[name] = e
	}
}

// lastRead is the session as it was read last, with a word that it may be otherwise.
func (s *Session) lastRead(file string) *Session {
	old := *s
	old.Problems = append(slices.Clip(s.Problems), lastRead(file, disk.ErrStalled))
	return &old
}

// outdated is the word that a session may be otherwise by now; none where it is as it
// was read.
func (s *Session) outdated() text.Problems {
	return slices.DeleteFunc(slices.Clone(s.Problems), func(p text.Problem) bool { return p.Code != outdatedCode })
}

// read reads a session, and stamps what it was read from.
func (p Place) read(in *Studio, name string) (e entry) {
	s := &Session{Name: name, Sources: map[string][]byte{}}
	open := func(name string) (string, []byte, error) {
		file, src, now, err := p.stamped(name)
		e.from = append(e.from, now)
		if err == nil {
			s.Sources[file] = src
		}
		return file, src, err
	}
	file, src, err := open(name)
	if err != nil {
		e.err = p.byTitle(in, name, err)
		return e
	}
	s.Session, s.Places, s.Problems = text.ReadSession(file, src, in.Studio, open)
	s.findings = sync.OnceValue(func() []check.Finding { return check.Session(in.Room, s.Session, s.Places) })
	e.session = s
	return e
}

func (p Place) stamped(name string) (string, []byte, stamp, error) {
	file := p.Session(name)
	src, now, err := stamped(file, disk.Text)
	if err != nil {
		return file, nil, now, p.noSession(name, file, err)
	}
	return file, src, now, nil
}

func (p Place) open(name string) (string, []byte, error) {
	file, src, _, err := p.stamped(name)
	return file, src, err
}

// Names are the sessions in the folder, sorted. Where the folder cannot be read they
// are those that it had, and the error says why.
func (l *Library) Names() ([]string, error) {
	entries, err := l.entries()
	return sessionsAmong(entries), err
}

// entries are the files in the folder of the sessions; where it cannot be read those
// that it had, and the error says why.
func (l *Library) entries() ([]string, error) {
	entries, err := l.place.entries()
	l.heard(l.place.Folder(), err)
	l.mu.Lock()
	defer l.mu.Unlock()
	if err != nil {
		return l.inFolder, err
	}
	l.inFolder = entries
	return entries, nil
}
