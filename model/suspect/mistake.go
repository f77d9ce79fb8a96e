package suspect

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Code names a kind of mistake.
type Code string

// The kinds of mistake.
const (
	CordMissing     Code = "cord-missing"
	CordBeside      Code = "cord-beside"
	CordElsewhere   Code = "cord-elsewhere"
	CordsSwapped    Code = "cords-swapped"
	CordDead        Code = "cord-dead"
	LegDead         Code = "leg-dead"
	PolarityWrong   Code = "polarity-reversed"
	HalfIn          Code = "half-in"
	ExtraCord       Code = "extra-cord"
	DummyMissing    Code = "dummy-missing"
	NormalDead      Code = "normal-dead"
	CrosspointOther Code = "crosspoint-unlike"
	TwoPoles        Code = "two-pole-cord"
	WireOther       Code = "wire-unlike"
)

// costs say how rare each mistake is, as minus the logarithm of how often hands
// make it: guesses, all in this table. Cords that stand beside each other are
// swapped a little more easily than others.
var costs = map[Code]float64{
	CordMissing: 1.0, CordBeside: 1.1, CordsSwapped: 1.5, DummyMissing: 1.2,
	LegDead: 1.4, PolarityWrong: 1.4, HalfIn: 1.4, TwoPoles: 1.6, CordDead: 1.6, NormalDead: 1.8,
	CordElsewhere: 2, ExtraCord: 2.5, CrosspointOther: 2.5, WireOther: 3,
}

const swappedBeside = 1.05

// Mistake is one thing that is otherwise than it was told.
type Mistake struct {
	Code Code
	Cost float64
	// At are the places: the ends of the cord, of both cords that are swapped, the
	// jacks that hold an extra cord; of a cord in another jack its ends as told and
	// then the jack that it is in.
	At []name.Point

	// out and in are what the patch lacks and has. cord is one that has a fault where
	// it is, and half the jack in which its plug does not sit.
	out, in patch.Patch
	cord    patch.Cord
	half    name.Point
	// room is another one where wires are otherwise.
	room *heard.Room
}

func mistake(code Code, at ...name.Point) Mistake {
	return Mistake{Code: code, Cost: costs[code], At: at}
}

func cords(all ...patch.Cord) patch.Patch { return patch.Patch{Cords: all} }

// loose are both plugs of a cord through which nothing goes.
func loose(c patch.Cord) patch.Patch {
	return cords(patch.Cord{A: c.A, Poles: c.Poles}, patch.Cord{A: c.B, Poles: c.Poles})
}

// moved is a cord with one end in another jack.
func moved(c patch.Cord, from, to name.Point) patch.Cord {
	if c.A == from {
		c.A = to
	} else {
		c.B = to
	}
	return c
}

// carries is how the pairs that a faulty cord alone carries are heard, by the
// stage of their output: nodal analysis of the three circuits, from two driven
// legs, one, or a winding, into an input that takes each leg against ground.
func (m Mistake) carries(output studio.Line) Class {
	active := bothLegs(output)
	switch m.Code {
	case PolarityWrong:
		return Reversed
	case LegDead:
		if active {
			return Low
		}
		return Absent
	case HalfIn:
		if active {
			return ReversedLow
		}
		return Reversed
	case TwoPoles:
		if active {
			return Low
		}
	}
	return Present
}

// bothLegs says whether a port drives its two legs against ground; so does what
// nobody says more of than that it is balanced.
func bothLegs(l studio.Line) bool {
	return l.Balanced && (l.Stage == studio.StageUnsaid || l.Stage == studio.ActiveStage)
}

// grounds says whether the fault takes a cold leg to ground that drives others
// as well.
func (m Mistake) grounds(output studio.Line) bool {
	return bothLegs(output) && (m.Code == HalfIn || m.Code == TwoPoles)
}

// OfCord says whether the mistake is the cord's own: what is worn, and not where it is.
func (m Mistake) OfCord() bool {
	switch m.Code {
	case LegDead, PolarityWrong, TwoPoles, CordDead:
		return true
	}
	return false
}

// AtFault are the places of which a jack, and not only a hand or a cord, may be what is
// wrong.
func (m Mistake) AtFault() []name.Point {
	switch m.Code {
	case CordDead, CordMissing, LegDead, HalfIn, NormalDead:
		return slices.Compact(slices.Clone(m.At))
	}
	return nil
}

// Concerns says whether the mistake is one of a cord.
func (m Mistake) Concerns(c patch.Cord) bool {
	return slices.ContainsFunc(m.out.Cords, c.Same) || m.cord.Same(c)
}
