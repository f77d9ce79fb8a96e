// Package studio holds the description of a studio as values: gear with its
// ports, bays with their pairs and modes, matrices, and the wires behind them.
//
// Values only, without positions and without anything that computes: what is
// heard where, what reaches and what is wrong are questions of their own
// packages.
package studio

import (
	"fmt"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
)

// Studio is one room or several, as its file describes it. Slices keep the
// order of the file.
type Studio struct {
	Name     string
	Gear     []Gear
	Bays     []Bay
	Boxes    []Box
	Matrices []Matrix
	// Lines are the studio's own kinds of line, and built-in ones that it gives
	// other values.
	Lines []Line
	// Cables are the studio's own kinds of cable, and built-in ones that it gives
	// other values.
	Cables []Cable
	// Reference is what full scale of the interface is.
	Reference Reference
	// Racks say where a rack's left edge stands.
	Racks []Rack
	// Wires, Ties, Mults and Normals are expanded: one value for each joint.
	Wires []Wire
	Ties  []Tie
	Mults []Mult
	// LinesTo are ties that a session of either room may end at. They are not among Ties:
	// gear of their name, with an input and an output and a pass between them, stands
	// for each.
	LinesTo []LineTo
	// Normals are those strapped at the block between jacks that are no pair.
	Normals []Normal
	// Faulty jacks are planned around.
	Faulty []name.Point
	// FaultyNormals are pairs whose normal is dead, by their top jacks.
	FaultyNormals []name.Point
	Stock         Stock
	// Dummies owned; negative where nothing was said: as many as it takes.
	Dummies int
	// Rest is the room between sessions.
	Rest patch.Patch
	// Rooms are the parts that can hold different sessions at once; none where
	// all is one room.
	Rooms []Room
	// Together are rooms that stand in one place, so that cords go from the one to the
	// other; no room is in two of the groups. Between others is a wall.
	Together [][]string
	// Drift is what to do when somebody turns a matrix by hand.
	Drift Drift
	// Control is the MIDI port by which sessions are recalled; nil for none.
	Control *Control
	Verify  Verify
	// Accepted are findings that somebody has looked at.
	Accepted []Acceptance
}

// Acceptance is a finding that somebody has looked at and leaves as it is.
type Acceptance struct {
	// Finding is its code.
	Finding string
	// At are the points that it names, or gear, a bay, a box or a matrix as a point
	// without a port; none for wherever it is found.
	At      []name.Point
	Because string
	// Key is its place in the file, such as accept[0].
	Key string
}

// Room is a part of the studio that can hold a session of its own: bays, boxes,
// matrices and gear by name. Nothing is part of two rooms.
type Room struct {
	Name  string
	Parts []string
}

// Drift is what happens to a matrix that was changed by hand.
type Drift uint8

const (
	// DriftUnsaid means that the file does not say; the daemon restores.
	DriftUnsaid Drift = iota
	// Restore puts the matrix back as the session has it.
	Restore
	// Keep leaves it and shows it.
	Keep
)

// Wire is a permanent cable at the rear, the way the signal flows: from a gear
// or matrix output to the rear of a jack, from a jack to an input, or straight
// from an output to an input.
type Wire struct {
	From, To name.Point
	// Run is what is known of the cable; its source's end is at From.
	Run Run
	// OfLine says that it is one end of a line to a room, and no cable of its own.
	OfLine bool
	// Key is its line's place in the file, such as wiring[3].
	Key string
}

// Tie joins the rears of two jacks, or of a jack and a socket of a box, and
// carries either way.
type Tie struct {
	A, B name.Point
	// Run is what is known of the cable; its source's end is at A.
	Run Run
	// Key is its line's place in the file, such as ties[0].
	Key string
}

// Mult joins the rears of several jacks.
type Mult struct {
	Jacks []name.Point
	// Key is its line's place in the file, such as mults[0].
	Key string
}

// Normal is a strapped normal from one jack to another that is not its pair;
// a plug at To breaks it.
type Normal struct {
	From, To name.Point
	// Key is its line's place in the file, such as normals[0].
	Key string
}

// Rack is where a rack's left edge stands.
type Rack struct {
	Name string
	X    measure.Length
}

// DefaultSlack is what a cord needs beyond the way where nobody says it: a plug stands
// out of the panel by some 4 cm at each end and a cord hangs (common practice, no
// published source).
const DefaultSlack = 10 * measure.Centimetre

// Stock is the cords owned, plugged or not.
type Stock struct {
	// Unlimited is true where the file does not say: as many as it takes, of
	// any length.
	Unlimited bool
	Cords     []StockCord
	// Counted says that what is plugged is counted in, of cords and dummies: none is owned
	// beside them, and some that are in may be owed to others.
	Counted bool
	// Cable is the kind of cable of the cords; empty where nothing was said.
	Cable string
	// Slack is what a cord needs beyond the way between its jacks: DefaultSlack where
	// the file says none.
	Slack measure.Length
	// Numbers are those that stand on the cords; zero where they have none.
	Numbers Numbers
}

// Numbers are whole numbers from First to Last; the zero value is none.
type Numbers struct{ First, Last int }

// Has says whether a number is one of them.
func (n Numbers) Has(number int) bool { return n.First > 0 && number >= n.First && number <= n.Last }

// String is 1-24, or empty for none.
func (n Numbers) String() string {
	if n.First == 0 {
		return ""
	}
	return fmt.Sprintf("%d-%d", n.First, n.Last)
}

// StockCord is one kind of cord in stock.
type StockCord struct {
	Length measure.Length
	// Ends are the kinds of plug; unknown ones fit the jack of any bay.
	Ends   [2]Jack
	Poles  int
	Colour string
	Count  int
}
