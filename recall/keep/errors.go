package keep

import (
	"errors"
	"fmt"
	"strings"

	"bayhand/model/phrase"
	"bayhand/model/plan"
)

// What a Room can answer. They survive the wire by their codes.
var (
	ErrNoAnswer       = errors.New("a device did not answer")
	ErrRefused        = errors.New("a device refused")
	ErrDiffers        = errors.New("a device reports something else than it was set to")
	ErrNotGiven       = errors.New("the session is not possible")
	ErrUnknownSession = errors.New("no such session")
	ErrUnknownStep    = errors.New("no such step")
	ErrUnknownPoint   = errors.New("no such jack")
	ErrConflict       = errors.New("this does not fit the room as it is")
	ErrUsage          = errors.New("this request is not valid")
	ErrNoStudio       = errors.New("there is no studio to keep")
	ErrJournal        = errors.New("the journal cannot be written")
	ErrStopped        = errors.New("bayhand no longer keeps the room")
	// ErrBeside is an ErrConflict with a session in another room, whose place the recall may
	// take where it is asked for so.
	ErrBeside = fmt.Errorf("%w: a session is in use there", ErrConflict)
)

var codes = []struct {
	code string
	err  error
}{
	{"no-answer", ErrNoAnswer},
	{"refused", ErrRefused},
	{"differs", ErrDiffers},
	{"not-given", ErrNotGiven},
	{"unknown-session", ErrUnknownSession},
	{"unknown-step", ErrUnknownStep},
	{"unknown-point", ErrUnknownPoint},
	{"conflict", ErrConflict},
	{"beside", ErrBeside},
	{"usage", ErrUsage},
	{"no-studio", ErrNoStudio},
	{"journal", ErrJournal},
	{"stopped", ErrStopped},
}

// Code is the word that stands for the error on the wire; "internal" for one
// that is none of this package's.
func Code(err error) string {
	for _, c := range codes {
		if errors.Is(err, c.err) {
			return c.code
		}
	}
	return "internal"
}

// Codes are the words of everything that the error is, Code's first; one at
// least.
func Codes(err error) []string {
	var all []string
	for _, c := range codes {
		if errors.Is(err, c.err) {
			all = append(all, c.code)
		}
	}
	if all == nil {
		return []string{"internal"}
	}
	return all
}

// Sentinel is the error of a code; nil for a code that has none.
func Sentinel(code string) error {
	for _, c := range codes {
		if c.code == code {
			return c.err
		}
	}
	return nil
}

// told is an error with a message of its own that is one of the sentinels.
type told struct {
	message string
	is      error
}

func (t *told) Error() string { return t.message }
func (t *told) Unwrap() error { return t.is }

// Refusal is an error of a Room with a reason that was found outside of it: it is one of
// the errors above, and says no more than the reason.
func Refusal(is, reason error) error { return tell(is, "%v", reason) }

func tell(is error, format string, args ...any) error {
	return &told{message: fmt.Sprintf(format, args...), is: is}
}

// ErrLater is what KeepPatch says of a file that somebody is writing just now.
var ErrLater = errors.New("somebody is writing the file")

// NotGivenError says which wants of a session cannot be had, and why.
type NotGivenError struct {
	Session string
	Missing []plan.Missing
	// Stopped is true where the search ended before it could tell.
	Stopped bool
	// Shared is a sentence on the lines that rooms share: which of them other hosts' rooms
	// hold, or that nobody can be asked; else empty.
	Shared string
}

func (e *NotGivenError) Error() string {
	if e.Stopped && len(e.Missing) == 0 {
		return phrase.Put("the search stopped before a plan for {session} was found", "session", e.Session)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s is not possible", e.Session)
	for _, m := range plan.Merged(e.Missing) {
		fmt.Fprintf(&b, "; %s: %s", m.Want, m.Because)
	}
	if e.Shared != "" {
		b.WriteString(". " + e.Shared)
	}
	return b.String()
}

// Is makes it an ErrNotGiven.
func (e *NotGivenError) Is(target error) bool { return target == ErrNotGiven }
