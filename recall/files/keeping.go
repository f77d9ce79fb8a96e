package files

import (
	"bytes"
	"time"

	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/recall/disk"
	"bayhand/recall/keep"
)

// Load reads the studio and the sessions that are asked for; what is wrong with
// them is said with its place.
func (l *Library) Load(sessions []string) keep.Files {
	read, err := l.Studio()
	if err != nil {
		return keep.Files{Problems: []keep.Problem{problemOf("studio-file", err)}}
	}
	all := keep.Files{Sessions: map[string]*session.Session{}, Problems: asProblems(read.Problems)}
	entries, _ := l.entries() // why not is in Outdated
	all.Names = sessionsAmong(entries)
	all.Problems = append(all.Problems, asProblems(append(l.Outdated(), l.place.ignored(entries)...))...)
	if read.Room == nil {
		return all
	}
	all.Studio = read.Studio
	for _, name := range sessions {
		s, err := l.Session(read, name)
		switch {
		case err != nil:
			all.Problems = append(all.Problems, problemOf("session-file", err))
		case s.Problems.Errors():
			all.Problems = append(all.Problems, asProblems(s.Problems)...)
		default:
			all.Sessions[name] = s.Session
			all.Problems = append(all.Problems, asProblems(s.outdated())...)
		}
	}
	return all
}

func asProblems(problems text.Problems) []keep.Problem {
	var all []keep.Problem
	for _, p := range problems {
		all = append(all, keep.Problem{Code: p.Code, Severity: p.Severity, Message: p.Place.String() + ": " + p.Message})
	}
	return all
}

func problemOf(code string, err error) keep.Problem {
	return keep.Problem{Code: code, Severity: "error", Message: err.Error()}
}

// KeepPatch writes the patch that gave a session into its file, which stays its
// author's (disk.Replace). While somebody writes it, which is as long as it has not
// been quiet, it is left alone (keep.ErrLater): what they write counts, all of it.
func (p Place) KeepPatch(session string, gave patch.Patch, quiet time.Duration) error {
	file := p.Session(session)
	if info, err := disk.Stat(file); err == nil && time.Since(info.ModTime()).Abs() < quiet {
		return keep.ErrLater
	}
	src, err := disk.Text(file)
	if err != nil {
		return err
	}
	kept, err := text.KeepPatch(src, gave)
	if err != nil || bytes.Equal(kept, src) {
		return err
	}
	return disk.Replace(file, kept, func() error {
		if now, err := disk.Text(file); err != nil || !bytes.Equal(now, src) {
			return keep.ErrLater
		}
		return nil
	})
}
