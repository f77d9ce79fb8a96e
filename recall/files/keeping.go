package files

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/recall/keep"
)

// Load reads the studio and the sessions that are asked for; what is wrong with
// them is said with its place.
func (l *Library) Load(sessions []string) keep.Files {
	read, err := l.Studio()
	if err != nil {
		return keep.Files{Problems: []keep.Problem{problemOf("studio-file", err)}}
	}
	all := keep.Files{Sessions: map[string]*session.Session{}, Names: l.place.Names(), Problems: asProblems(read.Problems)}
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

// KeepPatch writes the patch that gave a session into its file. The file is
// replaced in one go, so that an editor or a backup never sees half of it. While
// somebody writes it, which is as long as it has not been quiet, it is left alone
// (keep.ErrLater): what they write counts, all of it.
func (p Place) KeepPatch(session string, gave patch.Patch, quiet time.Duration) error {
	file := p.Session(session)
	if behind, err := filepath.EvalSymlinks(file); err == nil {
		file = behind
	}
	if info, err := os.Stat(file); err == nil && time.Since(info.ModTime()).Abs() < quiet {
		return keep.ErrLater
	}
	src, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	kept, err := text.KeepPatch(src, gave)
	if err != nil || string(kept) == string(src) {
		return err
	}
	return Replace(file, kept, func() error {
		if now, err := os.ReadFile(file); err != nil || !bytes.Equal(now, src) {
			return keep.ErrLater
		}
		return nil
	})
}

// Create writes a file that must not be there yet, with the folders above it; one
// that is there is fs.ErrExist.
func Create(file string, content []byte) error {
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		return err
	}
	made, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return &taken{file}
	}
	if err != nil {
		return err
	}
	_, err = made.Write(content)
	return errors.Join(err, made.Close())
}

// taken is a file that is there already.
type taken struct{ file string }

func (t *taken) Error() string {
	return t.file + " is there already, and nothing was written; choose another name"
}

func (t *taken) Is(target error) bool { return target == fs.ErrExist }
