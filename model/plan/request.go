package plan

import (
	"errors"
	"math"
	"strconv"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// DefaultEffort is the work that a plan may take where nothing is said, in millions of
// looks at a literal. A million is some ten milliseconds.
const DefaultEffort = 480

// MoreEffort is what to allow a search that stopped before it found a plan; 0 stands for
// DefaultEffort.
func MoreEffort(than int64) int64 {
	if than <= 0 {
		than = DefaultEffort
	}
	return 4 * min(than, math.MaxInt64/4)
}

// CheckEffort refuses an effort that no search can be bounded to.
func CheckEffort(n int64) error {
	if n < 0 {
		return errors.New(phrase.Put("an effort of {n} is below zero; leave it out for the usual one", "n", strconv.FormatInt(n, 10)))
	}
	return nil
}

// Request is a question for a plan: the only one there is, for a look ahead, a
// recall, a strip and an undo. The same request has the same plan on every machine.
type Request struct {
	// Studio is the room, with the jacks that a person tagged among its faulty ones.
	Studio *studio.Studio
	// Held are the jacks among the faulty ones that are sound and that sessions in other
	// rooms hold: no plan uses them, and nothing would be gained by mending them.
	Held []name.Point
	// Elsewhere are the cords and dummies that sessions in other rooms have; those of Studio
	// are what they leave.
	Elsewhere Elsewhere
	// From is the patch that is in.
	From patch.Patch
	// Session is nil for the way back to rest.
	Session *session.Session
	// Earlier is true where the rest patch of Studio is an earlier patch that is gone back
	// to: the reasons of steps say so.
	Earlier bool
	// PreviousInside is what the software or desk may still carry of the sessions
	// before: until it has been changed over, no loop may close through that either.
	PreviousInside []studio.Pass
	// Prefer is the objective; its zero value is PreferSame.
	Prefer Prefer
	// Effort bounds the search by counted work, in millions of looks at a literal; 0
	// is DefaultEffort.
	Effort int64
	// Partly asks for the best plan for a largest possible part of a session that
	// cannot be given whole. Given stays false.
	Partly bool
	// LeaveCords leaves what is in and not needed where it is.
	LeaveCords bool
	// FirstID is the number of the first step; 0 is 1.
	FirstID int
	// Progress is told how far the search is: the work done, the proved least
	// and the best number of plugs so far; best is -1 before there is one. Nil tells
	// nobody.
	Progress func(done, least, best int)
}

// Elsewhere are cords, as many as are counted of each kind, and dummies that are in use.
type Elsewhere struct {
	Cords   []studio.StockCord
	Dummies int
}
