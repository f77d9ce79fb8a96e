package keep

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// Act is one thing that somebody asks of the room or says of it. It is the same
// value on the command line, on the page, over HTTP and for a MIDI request.
type Act struct {
	Do Deed `json:"do"`
	// Session is what a recall or a preview is about; RestName for the rest patch.
	Session string        `json:"session,omitempty"`
	Options RecallOptions `json:"options,omitzero"`
	// IDs are the steps that were done, or were not; All stands for every step of a
	// person that can be done before a device has to be switched again.
	IDs []string `json:"ids,omitempty"`
	All bool     `json:"all,omitempty"`
	// Means is what the one step of IDs does, as whoever asks was shown it (MeansOf); empty
	// where that is not said.
	Means string `json:"means,omitempty"`
	// A and B are the jacks or ports of an act by hand.
	A name.Point `json:"a,omitzero"`
	B name.Point `json:"b,omitzero"`
	// Matrix is the one that an act is about.
	Matrix string `json:"matrix,omitempty"`
	// Switch is what outputs of matrices are to listen to while the room is listened to.
	Switch []plan.Change `json:"switch,omitempty"`
	// Number is that of a cord, and Fault what test sound has found of one.
	Number int    `json:"number,omitempty"`
	Fault  string `json:"fault,omitempty"`
	// By is who asks, for the history; empty for the keeper's own name. It does not
	// travel with the act: a server puts in who was let in.
	By string `json:"-"`
}

// Deed is what an act does.
type Deed string

// The deeds.
const (
	ToRecall   Deed = "recall"
	ToPreview  Deed = "preview"
	ToUndo     Deed = "undo"
	WereDone   Deed = "done"
	NotDone    Deed = "not-done"
	StillSo    Deed = "still"
	Plugged    Deed = "plug"
	Pulled     Deed = "pull"
	Moved      Deed = "move"
	Faulty     Deed = "faulty"
	Sound      Deed = "sound"
	WasHeard   Deed = "heard"
	NotHeard   Deed = "not-heard"
	ByEar      Deed = "by-ear"
	Number     Deed = "number"
	CordFailed Deed = "cord-fault"
	Binned     Deed = "binned"
	Replaced   Deed = "replaced"
	ToListen   Deed = "listen"
	Listened   Deed = "listened"
	ToPutBack  Deed = "put-back"
	ToLeave    Deed = "leave"
)

// ActKind is what is declared of a deed. Requests are checked, roles given and
// the HTTP API described by it.
type ActKind struct {
	Do Deed
	// Needs are the fields that an act has by the names of its JSON, May those that
	// it can have.
	Needs, May []string
	// ByHand is true for what a person did at the bay, which whoever may tick may
	// say. All else is for who may recall.
	ByHand bool
	// Says it in a sentence.
	Says string
	// fresh acts begin after every device has been asked what it holds, and while
	// none is being switched.
	fresh bool
}

// ActKinds are all the acts that there are.
var ActKinds = []ActKind{
	{Do: ToRecall, Needs: []string{"session"}, May: []string{"options"}, fresh: true,
		Says: "Set the room up for a session, or rest. If a connection is not possible, nothing is changed unless partly is set."},
	{Do: ToPreview, Needs: []string{"session"}, May: []string{"options"}, fresh: true,
		Says: "Plan a recall and answer with the plan. Nothing is changed."},
	{Do: ToUndo, May: []string{"options"}, fresh: true,
		Says: "Go back to what was set up before the last recall, using the patch planned then: before the last in the room of the options, where one is named; other rooms stay as they are."},
	{Do: WereDone, May: []string{"ids", "all", "means"}, ByHand: true,
		Says: "These steps of a person are done; all are those that can be done before a device has to be switched again."},
	{Do: NotDone, Needs: []string{"ids"}, May: []string{"means"}, ByHand: true, Says: "These steps were not done after all."},
	{Do: StillSo, ByHand: true, Says: "The bay is unchanged: the answer to the question after a start."},
	{Do: Plugged, Needs: []string{"a"}, May: []string{"b"}, ByHand: true,
		Says: "A cord joins two jacks, a gear cable a port and a jack; without b it is a dummy plug in a."},
	{Do: Pulled, Needs: []string{"a"}, ByHand: true, Says: "The cord, gear cable or dummy plug in a is out, with both its ends."},
	{Do: Moved, Needs: []string{"a"}, May: []string{"b"}, ByHand: true, Says: "The plug in a is now in b; without b it is loose."},
	{Do: Faulty, Needs: []string{"a"}, ByHand: true, Says: "The jack a is faulty, and is planned around."},
	{Do: Sound, Needs: []string{"a"}, ByHand: true, Says: "The jack a is not faulty any more."},
	{Do: WasHeard, Needs: []string{"a", "b"},
		Says: "The cord that is known to be in a and b was found there with test sound: it is measured now."},
	{Do: NotHeard, Needs: []string{"a", "b"},
		Says: "The cord that is known to be in a and b was not found there with test sound: it is no more than reported."},
	{Do: ByEar, Needs: []string{"a", "b"}, ByHand: true,
		Says: "The cord that is known to be in a and b was followed by ear, and does what it should: it is reported again."},
	{Do: Number, Needs: []string{"a", "b", "number"}, ByHand: true,
		Says: "The cord in a and b has this number on it: its faults are remembered wherever it goes."},
	{Do: CordFailed, Needs: []string{"a", "b", "fault"},
		Says: "The cord that is known to be in a and b was found at fault with test sound. It is remembered of a cord with a number."},
	{Do: Binned, Needs: []string{"number"}, ByHand: true,
		Says: "The cord with this number is thrown away, or mended as good as new: nothing more is known of it."},
	{Do: ToListen, Needs: []string{"switch"}, fresh: true,
		Says: "Switch these outputs to listen to the room with test sound, and read them back. They are restored after a minute without another request, and after a start."},
	{Do: Listened, Says: "Listening is over: what was switched for it is restored."},
	{Do: Replaced, Needs: []string{"matrix"}, fresh: true,
		Says: "The device of this matrix was replaced: the other one that answers at its link is the right one, and is driven from now on."},
	{Do: ToPutBack, Needs: []string{"matrix"}, fresh: true,
		Says: "What was changed at this matrix is restored, and so is what is changed at it from now on unless the studio's file says otherwise."},
	{Do: ToLeave, Needs: []string{"matrix"},
		Says: "What is changed at this matrix is left alone until the next recall."},
}

// ActKindOf is what is declared of a deed; false for one that there is not.
func ActKindOf(do Deed) (ActKind, bool) {
	i := slices.IndexFunc(ActKinds, func(k ActKind) bool { return k.Do == do })
	if i < 0 {
		return ActKind{}, false
	}
	return ActKinds[i], true
}

// Check refuses an act that lacks what it needs, or has what it does not take:
// a misspelt wish must not be another one.
func (a Act) Check() error {
	kind, ok := ActKindOf(a.Do)
	if !ok {
		return tell(ErrUsage, "%q is not valid; write %s", string(a.Do), deeds())
	}
	for _, f := range a.fields() {
		switch {
		case f.set && !slices.Contains(kind.Needs, f.name) && !slices.Contains(kind.May, f.name):
			return tell(ErrUsage, "%s takes no %s", a.Do, f.name)
		case !f.set && slices.Contains(kind.Needs, f.name):
			return tell(ErrUsage, "%s names no %s", a.Do, f.lack)
		}
	}
	switch {
	case a.Do == WereDone && a.All && len(a.IDs) > 0:
		return tell(ErrUsage, "all stands alone, without the numbers of steps")
	case a.Do == WereDone && !a.All && len(a.IDs) == 0:
		return tell(ErrUsage, "%s names no step", a.Do)
	case a.Means != "" && len(a.IDs) != 1:
		return tell(ErrUsage, "means is about one step")
	}
	return nil
}

func deeds() string {
	var all []string
	for _, k := range ActKinds {
		all = append(all, string(k.Do))
	}
	return strings.Join(all, ", ")
}

// field is one field of an act by its name in JSON, and what is said where it is
// needed and lacks.
type field struct {
	name, lack string
	set        bool
}

func (a Act) fields() []field {
	return []field{
		{"session", "session", a.Session != ""},
		{"options", "options", a.Options != RecallOptions{}},
		{"ids", "step", len(a.IDs) > 0},
		{"all", "all", a.All},
		{"means", "meaning of the step", a.Means != ""},
		{"a", "jack", !a.A.IsZero()},
		{"b", "second jack", !a.B.IsZero()},
		{"matrix", "matrix", a.Matrix != ""},
		{"switch", "output of a matrix", len(a.Switch) > 0},
		{"number", "number above 0", a.Number > 0},
		{"fault", "fault", a.Fault != ""},
	}
}
