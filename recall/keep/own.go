package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/scope"
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
// no room. Own are the rooms of its session, undone what is not as it is planned.
func phaseOf(r RoomStatus, whole Phase, own []string, undone [][]string) Phase {
	waits := func(rooms []string) bool { return len(rooms) == 0 || len(overlap(rooms, own)) > 0 }
	switch {
	case whole != Given && whole != Stuck && whole != Waiting, slices.ContainsFunc(undone, waits):
		return whole
	case r.NotGiven:
		return Stuck
	}
	return Given
}

// undone are the rooms of each thing that is not as it is planned: a step that is left, an
// output that was changed at its device, a matrix that does not hold its target. What is in no
// room, or about all of the studio, has none.
func (v view) undone() [][]string {
	in := v.k.memory.Intent
	if in.Plan == nil || v.k.replans.trouble != nil || v.k.replanner().replansPending() {
		return [][]string{nil}
	}
	var all [][]string
	for _, s := range in.Left {
		all = append(all, v.roomsOf(stepPoints(s)...))
	}
	for _, p := range in.Kept {
		all = append(all, v.roomsOf(p))
	}
	for _, h := range v.k.devices.all {
		if !h.answers || !v.holdsTarget(h) {
			all = append(all, v.roomsOf(h.matrix.Out(1)))
		}
	}
	return all
}

// roomsOf are the rooms that some places are part of.
func (v view) roomsOf(places ...name.Point) []string {
	var rooms []string
	for _, p := range places {
		if room := scope.RoomOf(v.k.studio, p); room != "" && !slices.Contains(rooms, room) {
			rooms = append(rooms, room)
		}
	}
	return rooms
}
