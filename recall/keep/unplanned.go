package keep

import (
	"errors"
	"fmt"
	"slices"

	"bayhand/model/hand"
	"bayhand/model/name"
	"bayhand/model/plan"
)

// byHand takes in what a person did at the bay, as far as it can be done.
func (k *machine) byHand(do Deed, a, b name.Point) error {
	if k.studio == nil {
		return tell(ErrNoStudio, "the studio's file cannot be read%s", k.firstFileProblem())
	}
	bay := hand.Bay{Studio: k.studio, Patch: k.memory.Known.Patch()}
	if wanted := k.memory.Intent.together(k.studio); wanted != nil {
		bay.Guests = wanted.Guests
	}
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
		steps = append(steps, plan.Step{Do: m.Do, Ends: m.Ends, To: m.To, Length: m.Length})
	}
	return k.unplanned(steps...)
}

// refused is a refusal of the hand's rules as an error of a Room.
func refused(err error) error {
	for is, as := range map[error]error{hand.ErrNowhere: ErrUnknownPoint, hand.ErrNever: ErrUsage, hand.ErrTaken: ErrConflict} {
		if errors.Is(err, is) {
			return tell(as, "%v", err)
		}
	}
	return err
}

// unplanned takes in what a person did unasked. Where it is just a step that is
// left, it is that step; else the way is made anew.
func (k *machine) unplanned(steps ...plan.Step) error {
	if len(steps) == 1 {
		if id := k.planned(steps[0]); id != "" {
			return k.tick(Act{IDs: []string{id}})
		}
	}
	m := k.memory
	var events []Event
	for _, s := range steps {
		s.By, s.After = plan.Person, []string{}
		if err := m.Known.put(s, k.fact(Told)); err != nil {
			return err
		}
		m.BayTold = true
		text := fmt.Sprintf("%s %s", s.Do, joined(s.Ends))
		if len(s.To) > 0 {
			text += " to " + joined(s.To)
		}
		events = append(events, Event{Kind: PersonDid, Step: &s, Text: text})
	}
	return k.told(m, "somebody did: "+events[0].Text, events...)
}

// planned is the ID of the step left that does the same; empty if there is none.
func (k *machine) planned(s plan.Step) string {
	for _, left := range k.memory.Intent.Left {
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
