package keep

import (
	"encoding/json"
	"errors"

	"bayhand/model/effect"
	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Answer is what came of an act that was taken. An act that was not taken is an
// error, and changed nothing. What a device did not do is no reason for not having
// taken an act: that stands in Unfinished.
type Answer struct {
	// Status is the room at the time of the answer.
	Status Status `json:"status"`
	// Unfinished is what devices have not carried out. Of a recall it has every
	// device that does not answer; of an act by hand those that had to do something
	// then.
	Unfinished []Unfinished `json:"unfinished"`
	// Took are the steps that were said to be done and are, in their order; Waits those of
	// hands that were not taken where all were said to be.
	Took  []string `json:"took"`
	Waits []Later  `json:"waits"`
	// Does is what an act at the bay that nobody planned does; nil for other acts.
	Does *effect.Effect `json:"does,omitempty"`
	// Plan is the one that a preview was asked for.
	Plan *plan.Plan `json:"plan,omitempty"`
}

// Later is a step that cannot be done yet, with the steps that must be done before.
type Later struct {
	ID    string   `json:"id"`
	After []Before `json:"after"`
}

// Before is a step that another waits for, and the matrix that switches it; a person's
// step has none.
type Before struct {
	ID string `json:"id"`
	By string `json:"by,omitempty"`
}

// Unfinished is one thing that was taken and is not carried out.
type Unfinished struct {
	// Code is no-answer, refused, differs or journal.
	Code string `json:"code"`
	// Matrix is the one that it is about; empty for the journal.
	Matrix  string `json:"matrix,omitempty"`
	Message string `json:"message"`
}

// Err is all that is unfinished, as errors of this package; nil where the act was
// carried out.
func (a Answer) Err() error {
	var all []error
	for _, u := range a.Unfinished {
		all = append(all, tell(Sentinel(u.Code), "%s", u.Message))
	}
	return errors.Join(all...)
}

// touched is what an act at the bay changed. What comes of it is heard by whoever
// asked, and not by the keeper, which goes on meanwhile.
type touched struct {
	studio        *studio.Studio
	wanted        *session.Session // what is intended; nil for rest and for nothing
	before, after patch.Patch
}

func (t *touched) effect() *effect.Effect {
	if t == nil {
		return nil
	}
	wanted := t.wanted
	if wanted == nil {
		wanted = &session.Session{}
	}
	e, _ := effect.Of(heard.NewRoom(t.studio).For(wanted, t.before, t.after), wanted, t.before, t.after)
	return &e
}

func (a Answer) clone() Answer {
	a.Status = a.Status.clone()
	a.Unfinished, a.Took, a.Waits = orEmpty(a.Unfinished), orEmpty(a.Took), orEmpty(a.Waits)
	return a
}

// MarshalJSON writes lists that are never null, whoever put the answer together.
func (a Answer) MarshalJSON() ([]byte, error) {
	type bare Answer
	return json.Marshal(bare(a.clone()))
}
