// Package keep is the keeper of the room: it holds what is intended and what is
// known, and brings the second to the first.
//
// A machine holds all of it, as a value without a goroutine or a clock. A fact is
// something that happened: an act that somebody asked for, what a device answered or
// said by itself, what the files say, how keeping a patch went. A fact or a decision
// of the machine's own makes a copy with effects: what is to be saved, and then
// sent, read, written and answered. A Keeper is the loop around it, with a worker
// for each device. It saves first; where that fails the machine stays as it was. A
// stage says how far the machine is and what may be begun.
//
// The machine leaves to its parts what is about one thing: a telling is what a person
// says of the bay, an exchange what one device was told and answered, a planning makes
// intents and their plans, and a view says how all of it stands.
//
// What was sent to a device is a belief
// (How Sent), what was read back is knowledge (How Read); a person's word is
// Told. The keeper never shows one as the other.
//
// The package does no input or output of its own: it declares the interfaces
// that it needs (Matrix, Journal, Clock), and the parts around it fill them.
package keep

import (
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// How is why a part of the patch is believed.
type How string

// The ways of knowing, from the strongest to the weakest.
const (
	Read     How = "read"     // the device answered it
	Measured How = "measured" // found with test signals
	Told     How = "told"     // a person said so
	Sent     How = "sent"     // sent to a device and not read back
	Assumed  How = "assumed"  // nobody said so
	// NotKnown is an output that was being switched when its device was heard
	// last: it may listen to what it did, to what it should, to both or to nothing. So is
	// one of which the device says what is no input.
	NotKnown How = "not-known"
)

// Hows are all of them, in that order.
var Hows = [...]How{Read, Measured, Told, Sent, Assumed, NotKnown}

// Fact is how, since when and by whom one part of the patch is known.
type Fact struct {
	How   How       `json:"how"`
	Since time.Time `json:"since"`
	// Who told it, as far as that is known.
	Who string `json:"who,omitempty"`
}

// Guessed says whether nobody knows, whatever is written down for it.
func (f Fact) Guessed() bool {
	switch f.How {
	case Read, Measured, Told, Sent:
		return false
	case Assumed, NotKnown:
	}
	return true
}

// Known is the patch that the room is in, as far as anyone knows.
type Known struct {
	Cords       []KnownCord       `json:"cords"`
	Leads       []KnownLead       `json:"leads"`
	Dummies     []KnownDummy      `json:"dummies"`
	Crosspoints []KnownCrosspoint `json:"crosspoints"`
}

// KnownCord is a cord and how it is known.
type KnownCord struct {
	patch.Cord
	Fact
	// Number is the one that is on it; 0 for none.
	Number int
}

// KnownLead is a lead and how it is known.
type KnownLead struct {
	patch.Lead
	Fact
}

// KnownDummy is a dummy and how it is known.
type KnownDummy struct {
	Jack name.Point
	Fact
}

// KnownCrosspoint is what one output of a matrix listens to and how that is
// known; Input is zero for off. A relay output that has several inputs stands
// once for each.
type KnownCrosspoint struct {
	Output name.Point
	Input  name.Point
	Fact
}

// Phase is where the keeper is on the way to what is intended.
type Phase string

// The phases of a recall.
const (
	Idle    Phase = "idle"    // nothing is intended
	Pushing Phase = "pushing" // a matrix is being switched or read, or the planner is at it
	Waiting Phase = "waiting" // a person has moves to make
	Given   Phase = "given"   // the room gives what is intended
	Stuck   Phase = "stuck"   // it cannot go on; Problems says why
)

// Status is the whole room as the keeper holds it: what commands and pages
// show. It is a copy.
type Status struct {
	// Seq grows by one with each change.
	Seq    uint64 `json:"seq"`
	Studio string `json:"studio"`
	// Session is the name of what is intended; "rest" for the rest patch, empty
	// for nothing.
	Session string `json:"session"`
	// Undone is the session whose recall was undone, where that led back to what was in
	// before anything was recalled; empty otherwise.
	Undone string `json:"undone,omitempty"`
	// Recall counts the recalls of this room; step IDs are never used twice in
	// one.
	Recall uint64 `json:"recall"`
	Phase  Phase  `json:"phase"`
	// Rooms are those of the studio, each with the session that it is in; none
	// where all is one room.
	Rooms []RoomStatus `json:"rooms"`
	// Plan is the way from what was known when it was made; nil without intent.
	Plan *plan.Plan `json:"plan,omitempty"`
	// Left are the steps that are not done, in order; Done those that are.
	Left []plan.Step `json:"left"`
	Done []DoneStep  `json:"done"`
	// Known is the present patch.
	Known Known `json:"known"`
	// Guests are the gear beside the studio's: that of the sessions that are held, and
	// that of earlier ones whose leads are still in.
	Guests []Guest `json:"guests"`
	// Inside is what the software or desk may still carry of the sessions that are
	// held: a plan made now counts with it.
	Inside []studio.Pass `json:"inside"`
	// Silenced are the ports that were made silent and not brought back; WriteOnly the
	// matrices whose device cannot be asked what it holds.
	Silenced  []Silenced `json:"silenced"`
	WriteOnly []string   `json:"write-only"`
	// Shut are the jacks of lines that several rooms share and that these rooms do not
	// hold: no plan uses them. None where the studio is one host's.
	Shut []name.Point `json:"shut,omitempty"`
	// Pasts are what undos go back to, the newest last. They are for who keeps the room, and
	// do not travel.
	Pasts []Past `json:"-"`
	// Tags are the jacks that a person said to be faulty, beside those of the
	// studio's file.
	Tags []Tag `json:"tags"`
	// Matrices are in the order of the studio file.
	Matrices []MatrixStatus `json:"matrices"`
	Problems []Problem      `json:"problems"`
}

// DoneStep is a step that was carried out.
type DoneStep struct {
	plan.Step
	Fact
}

// NotChecked is the problem of a matrix whose device was not asked for anything yet.
const NotChecked = "not checked yet"

// MatrixStatus is how one matrix is doing.
type MatrixStatus struct {
	Name string `json:"name"`
	Link string `json:"link"`
	// Driven is false where the studio names no device for it.
	Driven bool `json:"driven"`
	// Answers is true after the device has answered, until it fails to.
	Answers bool `json:"answers"`
	// ReadsBack is false for a device that cannot be asked.
	ReadsBack bool `json:"reads-back"`
	// Identity is what it said of itself.
	Identity string `json:"identity,omitempty"`
	// Expected is what the device that is driven says of itself, where another one
	// answers.
	Expected string `json:"expected,omitempty"`
	// Problem is why it cannot be driven now, in a person's words.
	Problem string `json:"problem,omitempty"`
}

// Problem is something that a person should know or mend.
type Problem struct {
	Code     string `json:"code"`
	Severity string `json:"severity"` // error, warning or advice
	Message  string `json:"message"`
	// Detail is for who mends it, such as a link and what the system says of it; empty
	// where the message is all.
	Detail string `json:"detail,omitempty"`
	// Since is zero where nobody kept the room when it came to be so.
	Since time.Time `json:"since,omitzero"`
	// Remedies are acts that answer it, for a person to choose from; none where it
	// takes anything else.
	Remedies []Act `json:"remedies,omitempty"`
}

// Whole is the message with its detail.
func (p Problem) Whole() string {
	if p.Detail == "" {
		return p.Message
	}
	return p.Message + " (" + p.Detail + ")"
}
