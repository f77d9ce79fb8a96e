package studio

import (
	"strconv"

	"bayhand/model/measure"
	"bayhand/model/name"
)

// Socket is one connector that holds several ports of gear, or several jacks of
// a bay at their rear.
type Socket struct {
	Name string
	// Plug is the connector in the file's own word, such as d-sub-25.
	Plug string
	// Ports are those that it holds, in the order of its circuits.
	Ports []name.Point
	// Pins is the standard by which the contacts are counted, such as aes59; empty
	// where nothing was said.
	Pins string
}

// Rear is what the rear of a bay's jack takes.
type Rear uint8

const (
	// RearUnsaid is a bay whose file does not say.
	RearUnsaid Rear = iota
	// RearSolder takes bare ends, soldered.
	RearSolder
	// RearPunch takes bare ends, pressed into forked contacts.
	RearPunch
	// RearJack takes plugs like those of its front.
	RearJack
	// RearDSub has several jacks on one D-subminiature connector.
	RearDSub
	// RearXLR has an XLR connector a jack.
	RearXLR
	// RearTerminal takes bare ends under screws or levers.
	RearTerminal
)

// String is the word that files have; empty for RearUnsaid.
func (r Rear) String() string {
	switch r {
	case RearSolder:
		return "solder"
	case RearPunch:
		return "punch"
	case RearJack:
		return "jack"
	case RearDSub:
		return "d-sub"
	case RearXLR:
		return "xlr"
	case RearTerminal:
		return "terminal"
	case RearUnsaid:
	}
	return ""
}

// Strips are the heights of a bay's label strips, and how far before the centre
// of the first column a strip begins. 0 means that the file does not say, NoStrip a
// strip that there is none of.
type Strips struct {
	Above, Below, Between, Rear measure.Length
	LeadIn                      measure.Length
}

// NoStrip is the height of a strip that a bay does not have.
const NoStrip measure.Length = -1

// SetModes is how many pairs of a bay share the setting of their mode: 1 where
// each is set alone, 0 where nothing was said, and ModesFixed where none can be
// changed.
type SetModes int

// ModesFixed are modes that cannot be changed.
const ModesFixed SetModes = -1

// String is what files have: each, by 8, fixed; empty where nothing was said.
func (m SetModes) String() string {
	switch {
	case m == ModesFixed:
		return "fixed"
	case m == 1:
		return "each"
	case m > 1:
		return "by " + strconv.Itoa(int(m))
	}
	return ""
}
