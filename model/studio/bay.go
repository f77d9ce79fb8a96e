package studio

import (
	"bayhand/model/measure"
	"bayhand/model/name"
)

// Bay is a passive patch bay. Its jacks are t1 to tN above b1 to bN.
type Bay struct {
	Name, Label string
	// Short is the label for strips; empty where nothing was said.
	Short string
	// Rows are the names of the two rows as printed on the bay; empty where
	// they are t and b.
	Rows [2]string
	// Modes holds the mode of pair n at n-1; its length is the number of pairs.
	Modes  []Mode
	Jack   Jack
	Ground Ground
	// At is where the top jack of pair 1 stands.
	At Place
	// Pitch is the way from column to column; 0 where nothing was said: the
	// usual one of the jack.
	Pitch measure.Length
	// Rear is what the rear of a jack takes.
	Rear Rear
	// Sockets are its connectors at the rear that hold several jacks.
	Sockets []Socket
	// Strips are the sizes of the paper that names its jacks.
	Strips Strips
	// SetModes is how its modes can be chosen.
	SetModes SetModes
}

// Pairs is the number of columns.
func (b Bay) Pairs() int { return len(b.Modes) }

// Top and Bottom are the stems of a bay's jacks.
const (
	Top    = "t"
	Bottom = "b"
)

// OtherJack is the other jack of a jack's pair.
func OtherJack(jack name.Point) name.Point {
	if jack.Stem == Top {
		return name.At(jack.Owner, Bottom, jack.Number)
	}
	return name.At(jack.Owner, Top, jack.Number)
}

// TopJack is the top jack of pair n.
func (b Bay) TopJack(n int) name.Point { return name.At(b.Name, Top, n) }

// BottomJack is the bottom jack of pair n.
func (b Bay) BottomJack(n int) name.Point { return name.At(b.Name, Bottom, n) }

// Mode is what a pair's two jacks do when nothing, or something, is plugged.
type Mode uint8

const (
	// ModeUnknown is the zero value, in no studio that was read.
	ModeUnknown Mode = iota
	// FullNormal is joined while neither jack has a plug.
	FullNormal
	// HalfNormal is joined while the bottom jack has no plug.
	HalfNormal
	// HalfNormalTop is joined while the top jack has no plug.
	HalfNormalTop
	// Isolated is never joined.
	Isolated
	// Parallel is always joined.
	Parallel
)

// String is the word that files have: normal, half-normal, half-normal-top,
// isolated or parallel.
func (m Mode) String() string {
	switch m {
	case FullNormal:
		return "normal"
	case HalfNormal:
		return "half-normal"
	case HalfNormalTop:
		return "half-normal-top"
	case Isolated:
		return "isolated"
	case Parallel:
		return "parallel"
	case ModeUnknown:
	}
	return "unknown"
}

// Joined says whether the pair's jacks are joined, given which of them hold a
// plug.
func (m Mode) Joined(topPlugged, bottomPlugged bool) bool {
	switch m {
	case FullNormal:
		return !topPlugged && !bottomPlugged
	case HalfNormal:
		return !bottomPlugged
	case HalfNormalTop:
		return !topPlugged
	case Parallel:
		return true
	case Isolated, ModeUnknown:
	}
	return false
}

// Jack is the kind of jack and plug.
type Jack uint8

const (
	// JackUnknown is a jack that the file does not say.
	JackUnknown Jack = iota
	// Bantam is the miniature telephone jack, 4.4 mm.
	Bantam
	// QuarterInch is the 6.35 mm jack of instruments and home studios.
	QuarterInch
	// LongFrame is the 6.35 mm telephone jack with the smaller, rounded tip.
	LongFrame
)

func (j Jack) String() string {
	switch j {
	case Bantam:
		return "bantam"
	case QuarterInch:
		return "quarter-inch"
	case LongFrame:
		return "long-frame"
	case JackUnknown:
	}
	return ""
}

// Ground is what the sleeves of a pair do at the rear.
type Ground uint8

const (
	// GroundUnsaid is a bay whose file does not say.
	GroundUnsaid Ground = iota
	// Separate sleeves end each alone.
	Separate
	// Bussed sleeves are joined along the row.
	Bussed
	// Strapped sleeves are joined from top to bottom.
	Strapped
)

func (g Ground) String() string {
	switch g {
	case Separate:
		return "separate"
	case Bussed:
		return "bussed"
	case Strapped:
		return "strapped"
	case GroundUnsaid:
	}
	return ""
}

// Place is where a bay is mounted or gear stands: in a rack at a unit counted from the floor, or at
// X and Y. The zero Place means that the file does not say.
type Place struct {
	Said bool
	Rack string
	Unit int // from 1
	X, Y measure.Length
}
