package border

import (
	"crypto/rand"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"bayhand/model/house"
)

// Do is what an act does.
type Do string

// The acts. ToTakeAway is a person's, of places that another's room holds, and so is
// ToAdopt, by which all hosts go by the files of one from then on. ToEnter is a daemon's:
// it tells which files its host has. So is ToAgree: where all hosts have the same files, they
// go by these.
const (
	ToClaim    Do = "claim"
	ToRelease  Do = "release"
	ToTakeAway Do = "take-away"
	ToAdopt    Do = "adopt-files"
	ToEnter    Do = "enter"
	ToAgree    Do = "agree"
)

// Act is something that a room, or a person, does to the table.
type Act struct {
	Do Do `json:"do"`
	// Room is who claims or releases, or from whom a place is taken away.
	Room string `json:"room"`
	// Number counts the acts of a room from 1; a person's has none.
	Number uint64 `json:"number,omitempty"`
	// Mark tells a person's act from every other one, so that it is carried out once,
	// however often it is asked for, and a daemon from every other one that enters; a
	// room's act has none. NewMark draws one.
	Mark string `json:"mark,omitempty"`
	// Recall and Session are what a claim is for.
	Recall  uint64  `json:"recall,omitempty"`
	Session string  `json:"session,omitempty"`
	Places  []Place `json:"places"`
	// Files is the digest of the studio that a claim was planned with, or that a host
	// enters with, or that is adopted or agreed on; House is that of the file of the house
	// likewise, and Duties what it gives to whom, for the latter three.
	Files  string                  `json:"files,omitempty"`
	House  string                  `json:"house,omitempty"`
	Duties map[string]house.Duties `json:"duties,omitempty"`
	// By is who asks, Host where, At when by the clock there; Machine is the name of the
	// machine on which a host's daemon runs.
	By   string    `json:"by,omitempty"`
	Host string    `json:"host,omitempty"`
	At   time.Time `json:"at"`

	Machine string `json:"machine,omitempty"`
}

// NewMark is a mark that no other act has.
func NewMark() string { return rand.Text() }

// Why an act was not carried out.
var (
	// ErrUsage is an act that means nothing.
	ErrUsage = errors.New("an act at the table of shared lines that means nothing")
	// ErrLate is an act of a room that has done another since.
	ErrLate = errors.New("the room has done something else at the table since")
	// ErrLost is a claim that was carried out once, of places that the room holds no
	// more: a person took one away.
	ErrLost = errors.New("the room's claim was taken away")
	// ErrUnreached is a table that does not answer.
	ErrUnreached = errors.New("the table of shared lines is not reached")
	// ErrHeld is a claim of what another room holds; the error is a *HeldError.
	ErrHeld = errors.New("another room holds it")
)

// HeldError is a claim that was refused, with what other rooms hold of it.
type HeldError struct {
	Places []Place
	Holds  []Hold // of each place
}

func (e *HeldError) Error() string {
	var all []string
	for i, p := range e.Places {
		all = append(all, fmt.Sprintf("%s is held by room %s for %s", p, e.Holds[i].Room, e.Holds[i].Session))
	}
	return strings.Join(all, "; ")
}

// Is makes it an ErrHeld.
func (e *HeldError) Is(target error) bool { return target == ErrHeld }

// check refuses an act that means nothing.
func (a Act) check() error {
	persons := a.Do == ToAdopt || a.Do == ToTakeAway
	switch {
	case a.Do == ToEnter:
		if a.Host == "" || a.Mark == "" || a.Files == "" || a.House == "" {
			return fmt.Errorf("%w: a daemon enters with its host, a mark and the digests of its files", ErrUsage)
		}
		return nil
	case a.Do == ToAgree:
		if a.Host == "" || a.Files == "" || a.House == "" {
			return fmt.Errorf("%w: hosts agree on the digests of their files, by one of them", ErrUsage)
		}
		return nil
	case persons && a.Mark == "":
		return fmt.Errorf("%w: what a person does has a mark of its own", ErrUsage)
	case a.Do == ToAdopt:
		if a.By == "" || a.Files == "" {
			return fmt.Errorf("%w: files are adopted with their digest, by somebody", ErrUsage)
		}
		return nil
	case a.Room == "" || len(a.Places) == 0:
		return fmt.Errorf("%w: it needs a room and a place", ErrUsage)
	case slices.Contains(a.Places, ""):
		return fmt.Errorf("%w: a place has a name", ErrUsage)
	case a.Do == ToTakeAway:
		if a.By == "" {
			return fmt.Errorf("%w: whoever takes a place away gives a name", ErrUsage)
		}
		return nil
	case a.Do != ToClaim && a.Do != ToRelease:
		return fmt.Errorf("%w: there is no %q", ErrUsage, a.Do)
	case a.Number == 0:
		return fmt.Errorf("%w: a room numbers its acts from 1", ErrUsage)
	}
	return nil
}

// sorted are the places of an act, each once.
func (a Act) sorted() []Place {
	places := slices.Clone(a.Places)
	slices.Sort(places)
	return slices.Compact(places)
}
