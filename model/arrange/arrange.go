// Package arrange proposes what lands where on the bays, and what each pair does
// when nothing is plugged.
//
// Vocabulary: a column is one pair of a bay with what is wired to its two jacks;
// a blank is a jack to which nothing is wired. The plugs of a session are those
// that it takes from rest. A line is one line under wiring: in the studio's file. It
// joins ports that follow each other with jacks that follow each other, and is one
// thing for a person to remember. The objective is the plugs of the sessions, and the
// lines at a price.
//
// Which outputs stand over which inputs, and with which mode, is an assignment:
// an output has one column, so that the plugs of all sessions are a sum over
// columns (cost.go). It is solved exactly (assign.go); where the normals chosen
// make a cycle with what gear passes, one of them is taken out (branch.go). Then
// the columns are put in an order, and exchanged against lines (anneal.go,
// improve.go). What is claimed is recomputed by the planner (evaluate.go); where the
// sum over columns is an estimate, it also decides on exchanges between bays
// (exchanged.go).
//
// The package changes nothing, and its lots come from a seed that is always the same: the
// same files give the same proposal on every machine.
package arrange

import (
	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Request is what is to be arranged.
type Request struct {
	Studio   *studio.Studio
	Sessions []Weighted
	// AtRest is the session whose silent and kept destinations get no normal; nil
	// for none.
	AtRest *session.Session
	// Tidy is what a line of wiring costs, in tenths of a plug a session, from 0 to
	// 10.
	Tidy int
	// Also are ports, or all of gear, that come to the bays of a room that is wired
	// though they are wired to nothing.
	Also []name.Point
	// Fixed ports, jacks and gear stay where they are.
	Fixed []name.Point
	// Bays are those that may be arranged, by name; all where it is empty.
	Bays []string
	// Moves bounds how many ports change their jack; negative is no bound.
	Moves int
	// Waived rules of the trade are let go.
	Waived []Rule
	// Effort bounds the search by counted work, in thousands of assignments, millions of
	// exchanges and the planner's measure of each plan; 0 is DefaultEffort.
	Effort int
	// all are the sessions that say where microphones go, where some are left out of the
	// others; nil for those that there are.
	all []Weighted
	// Progress is told what is being done; nil for nobody.
	Progress func(doing string, done, of int)
}

// DefaultEffort is the work that a proposal may take where nothing is said.
const DefaultEffort = 10

// Weighted is a session and how much it counts, 1 or more.
type Weighted struct {
	Session *session.Session
	Weight  int
}

// Rule is a rule of the trade that a proposal keeps unless it is waived.
type Rule string

// The rules (common practice, no published source).
const (
	// Spares leaves an eighth of the columns without anything wired.
	Spares Rule = "spares"
	// KindsApart puts lines of different kinds on blocks of their own, with a blank
	// column between inputs that supply phantom power and others. In a room that is not
	// wired yet microphone lines have a bay of their own, or go straight.
	KindsApart Rule = "kinds-apart"
	// InsertsTogether puts the send of an insert over its return, half-normalled.
	InsertsTogether Rule = "inserts-together"
	// SidesTogether keeps left and right side by side, in order.
	SidesTogether Rule = "sides-together"
	// SidesAlike gives left and right of a pair the same mode where that costs a
	// quarter of a plug a session at most.
	SidesAlike Rule = "sides-alike"
	// UnitsTogether puts an output of a unit over the input that leads to it, where
	// nothing is normalled to either.
	UnitsTogether Rule = "units-together"
	// OutputsAbove keeps outputs in the upper row and inputs in the lower one. Without it
	// what finds no place in its own row stands in the other, with nothing normalled to it.
	OutputsAbove Rule = "outputs-above"
)

// Rules are all rules, with what each does.
func Rules() map[Rule]string {
	return map[Rule]string{
		Spares:          "an eighth of the columns stays blank",
		KindsApart:      "instrument, line and headphone lines have blocks of their own, microphone lines a bay or none",
		InsertsTogether: "the send of an insert stands over its return, half-normalled",
		SidesTogether:   "left and right stand side by side, in order",
		UnitsTogether:   "a unit's output stands over its own input, isolated, where neither has a normal",
		OutputsAbove:    "outputs stand in the upper row, inputs in the lower, also where one of them is full",
		SidesAlike:      "left and right are half-normalled alike where that costs next to nothing",
	}
}
