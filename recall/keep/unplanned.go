package keep

import (
	"errors"
	"slices"

	"bayhand/model/hand"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
)

// byHand takes in what a person did at the bay, as far as it can be done.
func (t *telling) byHand(do Deed, a, b name.Point) error {
	if t.studio == nil {
		return t.files.noStudio()
	}
	bay := hand.Bay{Studio: t.studio, Guests: Gear(t.m.Here(t.studio)), Patch: t.m.Known.Patch()}
	var moves []plan.Move
	var err error
	switch do {
	case Plugged:
		moves, err = bay.Plug(a, b)
	case Pulled:
		moves, err = bay.Pull(a)
	default:
		moves, err = bay.Move(a, b)
	}
	if err != nil {
		return refused(err)
	}
	var steps []plan.Step
	for _, m := range moves {
		steps = append(steps, plan.Step{Do: m.Do, Ends: m.Ends, To: m.To, Length: m.Length, Poles: m.Poles})
	}
	return t.unplanned(steps...)
}

// refused is a refusal of the hand's rules as an error of a Room.
func refused(err error) error {
	if errors.Is(err, hand.ErrFull) {
		return tell(ErrConflict, "%v. Report it unplugged or moved first", err)
	}
	for is, as := range map[error]error{hand.ErrNowhere: ErrUnknownPoint, hand.ErrNever: ErrUsage, hand.ErrTaken: ErrConflict} {
		if errors.Is(err, is) {
			return tell(as, "%v", err)
		}
	}
	return err
}

// unplanned takes in what a person did unasked. Where it is just a step that is
// left, it is that step; else the session is planned again.
func (t *telling) unplanned(steps ...plan.Step) error {
	if len(steps) == 1 {
		if id := t.planned(steps[0]); id != "" {
			return t.tick(Act{IDs: []string{id}})
		}
	}
	for _, s := range steps {
		s.By, s.After = plan.Person, []string{}
		if err := t.m.Known.put(s, t.fact); err != nil {
			return err
		}
		text := phrase.Put("{verb} {jacks}", "verb", string(s.Do), "jacks", joined(s.Ends))
		if len(s.To) > 0 {
			text = phrase.Put("{verb} {jacks} to {others}", "verb", string(s.Do), "jacks", joined(s.Ends), "others", joined(s.To))
		}
		t.says(Event{Kind: PersonDid, Step: &s, Text: text})
	}
	t.m.BayTold = true
	for _, s := range steps {
		t.replan(phrase.Put("reported: {change}", "change", t.events[0].Text), stepPoints(s)...)
	}
	return nil
}

// planned is the ID of the step left that does the same; empty if there is none.
func (t *telling) planned(s plan.Step) string {
	for _, left := range t.m.Intent.Left {
		if left.Do == s.Do && sameEnds(left.Ends, s.Ends) && sameEnds(left.To, s.To) {
			return left.ID
		}
	}
	return ""
}

func sameEnds(a, b []name.Point) bool {
	a, b = slices.Clone(a), slices.Clone(b)
	slices.SortFunc(a, name.Point.Compare)
	slices.SortFunc(b, name.Point.Compare)
	return slices.Equal(a, b)
}
