// Package plan says what the way from one patch to another is made of. It holds
// values alone; package planner finds them and package order puts them in time.
//
// Vocabulary: a want is one destination that must hear one source; a move is
// something a person's hand does; a change is something a matrix does; a step
// is either of them, or a mute, in its place in time (package order).
package plan

import (
	"encoding/json"
	"errors"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Plan is the way from the patch that is in to one that gives a session. Its
// JSON form is the one that the command line prints; lists are never null.
type Plan struct {
	Session string `json:"session"`
	// Given is true when the target gives the whole session.
	Given bool `json:"given"`
	// Plugs is the number of plugs handled; Least a proved lower bound on it.
	Plugs int `json:"plugs"`
	Least int `json:"least"`
	// Moves are the person's, in the order of the steps.
	Moves       []Move   `json:"moves"`
	Crosspoints []Change `json:"crosspoints"`
	// Target is the patch at the end.
	Target Target `json:"patch"`
	Steps  []Step `json:"steps"`
	// Missing are the wants that cannot be had, each with what stands in its way.
	Missing []Missing `json:"missing"`
	// Losses is what is heard now, by destinations that the session does not
	// name, and will not be heard afterwards.
	Losses []Loss `json:"loses"`
	// Stopped is true where the time or effort allowed ended before the plan was
	// proved best.
	Stopped bool `json:"stopped,omitempty"`
	// FirstID is the number that the first step is called by; 0 is 1.
	FirstID int `json:"-"`
}

// ErrTooFewCords is why there is no way to a patch that was chosen before, as that of rest.
var ErrTooFewCords = errors.New("the cords owned are too few for the patch to set up; look at cords and rest in the studio file")

// Do is what a step does.
type Do string

// The verbs of steps. Mute and Unmute concern ports of loudspeakers and
// headphones; PhantomOff and PhantomOn inputs that supply it; Switch is a
// matrix's; the others are moves.
const (
	Mute       Do = "mute"
	Unmute     Do = "unmute"
	PhantomOff Do = "phantom-off"
	PhantomOn  Do = "phantom-on"
	Switch     Do = "switch"
	Plug       Do = "plug"
	Pull       Do = "pull"
	MoveEnd    Do = "move"
	PlugDummy  Do = "plug-dummy"
	PullDummy  Do = "pull-dummy"
	PlugLead   Do = "plug-lead"
	PullLead   Do = "pull-lead"
	// ChangeOver has the software or desk carry something else inside.
	ChangeOver Do = "change-over"
)

// Move is one thing that a person's hand does at the bay.
type Move struct {
	// ID is never used twice in one recall.
	ID string `json:"id"`
	Do Do     `json:"do"`
	// Ends are the jacks, in the order in which they are plugged or pulled; one
	// for a dummy or a cord that hangs loose; the port and the jack of a lead.
	Ends []name.Point `json:"ends"`
	// To is where the ends of a moved cord are afterwards.
	To     []name.Point   `json:"to,omitempty"`
	Length measure.Length `json:"length,omitempty"`
	// Poles are 2 of a cord without a ring; 0 of any other.
	Poles int `json:"poles,omitempty"`
}

// Plugs is how many plugs the move handles: two for a cord plugged or pulled,
// two for one end moved, one for a dummy, a lead or a loose cord.
func (m Move) Plugs() int {
	switch m.Do {
	case MoveEnd:
		return moved(m.Ends, m.To)
	case PlugLead, PullLead:
		return 1
	case Plug, Pull, PlugDummy, PullDummy:
		return len(m.Ends)
	case Mute, Unmute, PhantomOff, PhantomOn, Switch, ChangeOver:
	}
	return 0
}

// moved counts the plugs that leave a jack and those that enter one.
func moved(from, to []name.Point) int {
	count := 0
	for _, pair := range [][2][]name.Point{{from, to}, {to, from}} {
		for _, p := range pair[0] {
			if !contains(pair[1], p) {
				count++
			}
		}
	}
	return count
}

func contains(points []name.Point, p name.Point) bool {
	for _, q := range points {
		if p == q {
			return true
		}
	}
	return false
}

// Change is one output of a matrix that listens to something else afterwards.
type Change struct {
	Output name.Point
	// Input and Was are zero for off.
	Input, Was name.Point
}

// MarshalJSON writes {"matrix","output","input","was"}, off for no input.
func (c Change) MarshalJSON() ([]byte, error) {
	return json.Marshal(changeJSON{c.Output.Owner, c.Output.Port(), portOrOff(c.Input), portOrOff(c.Was)})
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (c *Change) UnmarshalJSON(data []byte) error {
	var j changeJSON
	if err := json.Unmarshal(data, &j); err != nil {
		return err
	}
	var err error
	read := func(port string) name.Point {
		if port == "off" || port == "" || err != nil {
			return name.Point{}
		}
		var p name.Point
		p, err = name.Parse(j.Matrix + "/" + port)
		return p
	}
	*c = Change{Output: read(j.Output), Input: read(j.Input), Was: read(j.Was)}
	return err
}

type changeJSON struct {
	Matrix string `json:"matrix,omitempty"`
	Output string `json:"output"`
	Input  string `json:"input"`
	Was    string `json:"was,omitempty"`
}

func portOrOff(p name.Point) string {
	if p.IsZero() {
		return "off"
	}
	return p.Port()
}

// Step is one thing done by a person or by a matrix, in its place in time.
type Step struct {
	ID string `json:"id"`
	// By is "person" or the name of a matrix.
	By string `json:"by"`
	Do Do     `json:"do"`
	// Ends, To, Length and Poles are as in the move of the same ID; of a mute, Ends are
	// the ports that fall silent.
	Ends   []name.Point   `json:"ends,omitempty"`
	To     []name.Point   `json:"to,omitempty"`
	Length measure.Length `json:"length,omitempty"`
	Poles  int            `json:"poles,omitempty"`
	// Crosspoints are what a matrix switches in this step, together.
	Crosspoints []Change `json:"crosspoints,omitempty"`
	// Silences are inputs that have no signal, or lack some of it, until the matrix switches
	// back: of a step that mutes a loudspeaker, those that the same outputs feed beside it.
	Silences []name.Point `json:"silences,omitempty"`
	// Carried is what the software or desk may carry before a change-over, and
	// Carries what it does afterwards.
	Carried []studio.Pass `json:"carried,omitempty"`
	Carries []studio.Pass `json:"carries,omitempty"`
	// Lines are the names of the session's lines that go over the cord, the lead or the
	// crosspoints of this step; none where they have no names.
	Lines []string `json:"lines,omitempty"`
	// After names the steps that must be done before.
	After []string `json:"after"`
	// Because says why the step is needed, and where it matters why now.
	Because string `json:"because"`
}

// Person is who does the steps that no matrix does.
const Person = "person"

// Missing is a want that cannot be had.
type Missing struct {
	// Want is the want in words of the file: a/out1 -> b/in1.
	Want    string `json:"want"`
	Because string `json:"because"`
	// Shortage is the proof, where counting is one. Proof says how it is known.
	Shortage *Shortage `json:"shortage,omitempty"`
	Proof    Proof     `json:"proof,omitempty"`
	// Enough are additions to the studio of which each by itself would do, for this and
	// all else that is missing with the same ones: the least of its kind that was seen to.
	// Where several things are lacking, all of them are one addition.
	Enough []Addition `json:"enough,omitempty"`
	// Mended are jacks that are tagged faulty: it would be possible if they were not.
	Mended []name.Point `json:"mended,omitempty"`
	// InUse is what sessions in other rooms have, without whom all that is missing could be
	// had. It is of all that is missing together.
	InUse []InUse `json:"in-use,omitempty"`
	// Key is the place of its line in the session, such as connect[3].
	Key string `json:"-"`
}

// InUse is what a session in other rooms has and another lacks.
type InUse struct {
	// Session is empty for what is in in rooms that hold none.
	Session string   `json:"session"`
	Rooms   []string `json:"rooms"`
	// Places are jacks, ports and outputs of matrices.
	Places []name.Point `json:"places,omitempty"`
	// Cords and Dummies count those that are in or still to be plugged, where too few are
	// left.
	Cords   int `json:"cords,omitempty"`
	Dummies int `json:"dummies,omitempty"`
}

// Proof says how it is known that something cannot be had.
type Proof string

// By counting there is too little of something; by trying, no patch of all was left.
const (
	ByCounting Proof = "counting"
	ByTrying   Proof = "trying"
)

// Loss is something that is no longer heard at a destination which the session does
// not name.
type Loss struct {
	Destination name.Point `json:"destination"`
	Source      name.Point `json:"source"`
	// Instead is what the destination hears then; none where it falls silent.
	Instead []name.Point `json:"instead,omitempty"`
}
