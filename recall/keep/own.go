package keep

import (
	"slices"

	"bayhand/model/plan"
)

// The plan of an intent is joined of those of its sessions. Each session is given or not by
// its own: the plan of an intent says so of the session that was recalled last, and each of
// the others of itself.

// share notes what a way gives of the sessions of an intent; was is the intent before.
func (in *Intent) share(was Intent, got way) {
	i := in.other(got.session)
	switch {
	case got.question.scope == nil:
		in.shareAll(got.question.ask.Partly)
	case i >= 0:
		in.Others = slices.Clone(in.Others)
		in.Others[i].NotGiven, in.Others[i].Missing = !got.plan.Given, got.plan.Missing
		in.keepOwn(was.Plan)
	}
}

// keepOwn has the plan say of the session that was recalled last what it said before.
func (in *Intent) keepOwn(was *plan.Plan) {
	if was == nil || in.Plan == nil {
		return
	}
	own := *in.Plan
	own.Session, own.Given, own.Missing, own.Stopped = was.Session, was.Given, was.Missing, was.Stopped
	in.Plan = &own
}

// shareAll has each session know what is missing of it where the plan is about all of the
// studio. Where nothing is gone of a plan that cannot be given whole, none of them is known
// to be given.
func (in *Intent) shareAll(partly bool) {
	if len(in.Others) == 0 || in.Plan == nil {
		return
	}
	own := *in.Plan
	in.Others = slices.Clone(in.Others)
	for i, h := range in.Others {
		var theirs []plan.Missing
		theirs, own.Missing = split(own.Missing, h.wants)
		in.Others[i].NotGiven, in.Others[i].Missing = len(theirs) > 0, theirs
	}
	own.Given = own.Given || partly && len(own.Missing) == 0 && !own.Stopped
	in.Plan = &own
}

// wants says whether a session has asked for something that is missing.
func (h Held) wants(m plan.Missing) bool {
	for _, w := range h.Wanted.Wants {
		if plan.WantText(w.Source.String(), w.Destination.String()) == m.Want {
			return true
		}
	}
	return false
}

// split are those that something is true of, and the others.
func split[T any](all []T, is func(T) bool) (yes, no []T) {
	no = make([]T, 0, len(all)) // never null where it is printed
	for _, one := range all {
		if is(one) {
			yes = append(yes, one)
		} else {
			no = append(no, one)
		}
	}
	return yes, no
}

// phaseOf is how far a room is, where all of the studio is in a phase: what is not possible
// of a session is a matter of its own rooms, and so is what is left to do, but for what is in
// no room.
func (v view) phaseOf(r RoomStatus, whole Phase) Phase {
	if whole != Given && whole != Stuck && whole != Waiting {
		return whole
	}
	switch others := v.others(r); {
	case !v.holdsBeside(others):
		return whole
	case r.NotGiven:
		return Stuck
	}
	return Given
}

// others are the rooms that are not in the session of a room.
func (v view) others(r RoomStatus) []string {
	own := []string{r.Room}
	for _, h := range v.k.memory.Intent.held(v.k.studio) {
		if slices.Contains(h.Rooms, r.Room) {
			own = h.Rooms
		}
	}
	var others []string
	for _, o := range v.k.studio.Rooms {
		if !slices.Contains(own, o.Name) {
			others = append(others, o.Name)
		}
	}
	return others
}
