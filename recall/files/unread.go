package files

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"bayhand/model/phrase"
	"bayhand/model/text"
)

// Unread is a file that is not there or cannot be read.
type Unread struct {
	What string // such as "the studio's file"
	File string
	Err  error
	// Hint is what to do instead; it may be empty.
	Hint string
}

func (u *Unread) Error() string {
	said := fmt.Sprintf("%s, %s, cannot be read: %v", u.What, u.File, Bare(u.Err))
	if errors.Is(u.Err, fs.ErrNotExist) {
		said = fmt.Sprintf("%s, %s, is not there", u.What, u.File)
	}
	if u.Hint != "" {
		said += "; " + u.Hint
	}
	return said
}

func (u *Unread) Unwrap() error { return u.Err }

// Bare is an error about a file without the file's name, which is said already.
func Bare(err error) error {
	var about *fs.PathError
	if errors.As(err, &about) {
		return about.Err
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

// noSession says which sessions there are, and which of them was probably meant.
func (p Place) noSession(name, file string, err error) error {
	names := p.Names()
	hint := phrase.Put("sessions are {names}", "names", listed(names))
	if meant := text.Nearest(name, names); meant != "" {
		hint = phrase.Put("sessions are {names}; did you mean {name}?", "names", listed(names), "name", meant)
	}
	return fmt.Errorf("there is no session %q: %w", name, &Unread{What: "its file", File: file, Err: err, Hint: hint})
}
