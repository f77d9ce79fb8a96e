package files

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"bayhand/model/phrase"
	"bayhand/model/text"
	"bayhand/recall/disk"
)

// Named is what stands in a file that a person named; the error is an *Unread. Other than
// files of the studio it may be a pipe, since a person may name what a program prints.
func Named(what, file, hint string) ([]byte, error) {
	src, err := os.ReadFile(file)
	if err != nil {
		return nil, &Unread{What: what, File: file, Err: err, Hint: hint}
	}
	return src, nil
}

// Unread is a file that is not there or cannot be read.
type Unread struct {
	What string // such as "the studio's file"
	File string
	Err  error
	// Hint is what to do instead; it may be empty.
	Hint string
}

func (u *Unread) Error() string {
	sentence := "{what}, {file}, cannot be read: {reason}"
	if errors.Is(u.Err, fs.ErrNotExist) {
		sentence = "{what}, {file}, is not there"
	}
	return withHint(phrase.Put(sentence, "what", u.What, "file", u.File, "reason", Reason(u.Err)), u.Hint)
}

func (u *Unread) Unwrap() error { return u.Err }

// Unwritten is a file that a person named and that cannot be written.
type Unwritten struct {
	File string
	Err  error
}

func (u *Unwritten) Error() string {
	reason := Reason(u.Err)
	if errors.Is(u.Err, fs.ErrNotExist) {
		reason = phrase.Put("there is no folder {folder}", "folder", filepath.Dir(u.File))
	}
	hint := "give a file in a folder that is there and yours"
	if errors.Is(u.Err, syscall.ENOSPC) {
		hint = "make room there, or give a file on another disk"
	}
	return withHint(phrase.Put("{file} cannot be written: {reason}", "file", u.File, "reason", reason), hint)
}

func (u *Unwritten) Unwrap() error { return u.Err }

func withHint(said, hint string) string {
	if hint == "" {
		return said
	}
	return phrase.Put("{said}; {hint}", "said", said, "hint", hint)
}

// Reason is why a file could not be used, without the file's name, which is said already:
// in plain words where there are any, else in the system's.
func Reason(err error) string {
	switch {
	case errors.Is(err, disk.ErrIrregular):
	case errors.Is(err, fs.ErrNotExist):
		return "it is not there"
	case errors.Is(err, syscall.EISDIR):
		return "it is a folder and no file"
	case errors.Is(err, fs.ErrPermission):
		return "you have no right to it"
	}
	return Bare(err).Error()
}

// Bare is an error about a file without the file's name, which is said already.
func Bare(err error) error {
	var about *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &about):
		return about.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

// mostListed is how many sessions a message names.
const mostListed = 20

// listed is names in a sentence.
func listed(names []string) string {
	switch {
	case len(names) == 0:
		return "files that end in .yaml in the folder sessions beside the studio's file"
	case len(names) > mostListed:
		return fmt.Sprintf("%s and %d more", strings.Join(names[:mostListed], ", "), len(names)-mostListed)
	}
	return strings.Join(names, ", ")
}

// Which says which sessions there are.
func (p Place) Which() string {
	return phrase.Put("sessions are {names}", "names", listed(p.Names()))
}

// byTitle says which session was meant where its title was typed, which no name is. It reads
// the sessions of the folder.
func (p Place) byTitle(in *Studio, typed string, err error) error {
	if CheckSession(typed) == nil || strings.HasSuffix(typed, ".yaml") {
		return err
	}
	for _, name := range p.Names() {
		file, src, unread := p.open(name)
		if unread != nil {
			continue
		}
		if s, _, _ := text.ReadSession(file, src, in.Studio, p.open); s != nil && strings.EqualFold(s.Title, typed) {
			if phrase.Nearest(typed, p.Names()) == name {
				return err // which says so
			}
			return fmt.Errorf("%w; did you mean %s?", err, name)
		}
	}
	return err
}

// noSession says which sessions there are, and which of them was probably meant.
func (p Place) noSession(name, file string, err error) error {
	names, hint := p.Names(), p.Which()
	if meant := phrase.Nearest(name, names); meant != "" {
		hint = phrase.Put("sessions are {names}; did you mean {name}?", "names", listed(names), "name", meant)
	}
	return fmt.Errorf("there is no session %q: %w", name, &Unread{What: "its file", File: file, Err: err, Hint: hint})
}
