package keep

import (
	"slices"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Memory is what must survive a restart: what is intended and what is known.
type Memory struct {
	Intent Intent `json:"intent"`
	// Pasts are what was intended before the last recalls, the newest last; no room is in
	// two of them.
	Pasts []Past `json:"pasts,omitempty"`
	Known Known  `json:"known"`
	// BayTold is true after a person has said anything of the bay; until then
	// its cords are assumed to be those of the rest patch.
	BayTold bool `json:"bay-told,omitempty"`
	// Asked is since when a person is asked whether the bay is still as it is
	// known; zero where nobody is.
	Asked time.Time `json:"asked,omitzero"`
	// Tags are the jacks that a person said to be faulty.
	Tags []Tag `json:"tags,omitempty"`
	// Guests are those of earlier sessions whose leads may still be in.
	Guests []Guest `json:"guests,omitempty"`
	// Silenced are the ports that a person made silent and has not brought back.
	Silenced []Silenced `json:"hushed,omitempty"`
	// Shut are the jacks of shared lines that the rooms do not hold. They are not written
	// down: whoever knows the table of these says so again after a start.
	Shut []name.Point `json:"-"`
	// WriteOnly are the matrices whose device cannot be asked what it holds.
	WriteOnly []string `json:"deaf,omitempty"`
	// Numbered are the cords with numbers on them, in order.
	Numbered []Numbered `json:"numbered,omitempty"`
	// Listening is what is switched to listen to the room; nil where it is not.
	Listening *Listening `json:"listening,omitempty"`
	// Expected are what the devices say of themselves that are driven: each as it
	// was found first, or as a person said since. Another is not driven.
	Expected []Expected `json:"expected,omitempty"`
}

// Expected is the identity of the device of a matrix, and how it is known: read
// where it was the first one, told where a person said that it is the right one.
type Expected struct {
	Matrix   string `json:"matrix"`
	Identity string `json:"identity"`
	Fact
}

// Silenced is a port that was muted, or that lost its phantom power, for moves to
// be made.
type Silenced struct {
	Port name.Point `json:"port"`
	Do   plan.Do    `json:"do"` // plan.Mute or plan.PhantomOff
	// Unheard is true where nothing plays there with the patch that was given: nobody
	// is asked to bring it back until something does.
	Unheard bool `json:"unheard,omitempty"`
	// Unsure is true where bayhand was off since and nobody has said that it is so still:
	// no plug goes by it.
	Unsure bool `json:"unsure,omitempty"`
	Fact
}

// Intent is what the room is to give, and how far that has come.
type Intent struct {
	// Recall counts; 0 is before the first.
	Recall uint64 `json:"recall"`
	// Session is the name; RestName for the rest patch, empty for nothing.
	Session string        `json:"session"`
	Options RecallOptions `json:"options"`
	// Wanted is the session as it was read; nil for rest and for nothing.
	Wanted *session.Session `json:"wanted,omitempty"`
	// Others are the sessions that other rooms are in meanwhile.
	Others []Held `json:"others,omitempty"`
	// Back is the patch that an undo goes back to; nil for any other recall.
	Back *patch.Patch `json:"back,omitempty"`
	// Meaning changes when the studio or the session asks for something else.
	Meaning string `json:"meaning,omitempty"`
	// From is the patch that Plan starts at.
	From patch.Patch `json:"from"`
	Plan *plan.Plan  `json:"plan,omitempty"`
	// Planned is when Plan was made.
	Planned time.Time `json:"planned,omitzero"`
	// Left and Done are the steps of the plan; Done has those of earlier plans
	// of this recall too.
	Left []plan.Step `json:"left,omitempty"`
	Done []DoneStep  `json:"done,omitempty"`
	// Before counts the steps of Done that were done before Plan was made.
	Before int `json:"before,omitempty"`
	// NextID is the lowest step number not used yet in this recall.
	NextID int `json:"next-id,omitempty"`
	// Sending are the steps given to a device and not known to have arrived.
	Sending []string `json:"sending,omitempty"`
	// Failed are steps that a device refused or did not carry out.
	Failed []Failure `json:"failed,omitempty"`
	// Taken are the cords that steps took out, by the step's ID, so that a step
	// that was not done after all puts back what was there.
	Taken map[string]KnownCord `json:"taken,omitempty"`
	// PreviousInside is what the software or desk may still carry, until a person has
	// said that it was changed over; nil where nobody knows of anything.
	PreviousInside []studio.Pass `json:"previous-inside,omitzero"`
	// Kept are outputs that were turned by hand and are left so.
	Kept []name.Point `json:"kept,omitempty"`
	// Leaves are the matrices where a person wants what is turned by hand left, as if
	// the studio said so.
	Leaves []string `json:"leaves,omitempty"`
	// Given is true once the room has given the session.
	Given bool `json:"given,omitempty"`
}

// RestName is what stands for the rest patch where a session's name is wanted.
const RestName = "rest"

// Failure is a step that did not work at a device.
type Failure struct {
	ID      string    `json:"id"`
	Matrix  string    `json:"matrix"`
	Code    string    `json:"code"` // refused or differs
	Message string    `json:"message"`
	Since   time.Time `json:"since"`
}

// Tag is a jack that a person said to be faulty.
type Tag struct {
	Jack name.Point `json:"jack"`
	Fact
}

// Event is one line of the history.
type Event struct {
	// Seq is given by the journal and grows by one.
	Seq     uint64    `json:"seq"`
	At      time.Time `json:"at"`
	Kind    Kind      `json:"kind"`
	Recall  uint64    `json:"recall,omitempty"`
	Session string    `json:"session,omitempty"`
	// Rooms are those that it is about; none where it is about all of the studio, or about
	// what is in no room.
	Rooms  []string `json:"rooms,omitempty"`
	Matrix string   `json:"matrix,omitempty"`
	// By is who asked for it, as far as that is known.
	By string `json:"by,omitempty"`
	// Step is the step that was begun, done or taken back.
	Step *plan.Step `json:"step,omitempty"`
	// Changes are what a device was newly read to hold.
	Changes []plan.Change `json:"changes,omitempty"`
	// Unclear are outputs of which the device said what is no input: they are not known.
	Unclear []name.Point `json:"unclear,omitempty"`
	// Gone is true where the device is not heard any more: what it was read to hold is
	// assumed from then on.
	Gone bool `json:"gone,omitempty"`
	// Known is the whole patch, at each recall and whenever it was given.
	Known *Known `json:"known,omitempty"`
	// Text says it in a person's words.
	Text string `json:"text"`
}

// Otherwise is the reading of a step that was sent, as far as it contradicts what was sent: what
// outputs of the step listen to instead, and those of which the answer is not clear. Both are
// empty for what was read to be as it was sent, and for an event that is no reading of a step.
func (e Event) Otherwise() (reads []plan.Change, unclear []name.Point) {
	if e.Kind != WasRead || e.Step == nil {
		return nil, nil
	}
	sent, read := outputsOf(*e.Step), outputsOf(plan.Step{Crosspoints: e.Changes})
	for _, c := range e.Changes {
		if want, told := sent[c.Output]; told && !slices.Equal(want, read[c.Output]) {
			reads = append(reads, c)
		}
	}
	for _, output := range e.Unclear {
		if _, told := sent[output]; told {
			unclear = append(unclear, output)
		}
	}
	return reads, unclear
}

// Kind is what an event is about.
type Kind string

// The kinds of event.
const (
	Recalled  Kind = "recalled"  // a session or rest was asked for
	Replanned Kind = "replanned" // the steps were planned again
	Sending   Kind = "sending"   // a step is about to go to a device
	WasSent   Kind = "sent"      // it went
	WasRead   Kind = "read"      // a device answered something new
	StepDone  Kind = "done"      // a step is done
	StepNot   Kind = "not"       // a step was taken back
	PersonDid Kind = "person"    // a person did something unplanned
	Drifted   Kind = "drift"     // somebody turned a matrix by hand
	WasGiven  Kind = "given"     // the room gives what is intended
	Trouble   Kind = "trouble"   // a device failed
	Pruned    Kind = "pruned"    // old events were forgotten on request
)
