package main

import (
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// remembered is a room that nobody keeps now, as its journal has it. No device
// was asked, so what was read of one is not known any more.
func remembered(m keep.Memory, s *studio.Studio) keep.Status {
	status := keep.Status{
		Studio: s.Name, Session: m.Intent.Session, Undone: m.Undone(), Recall: m.Intent.Recall, Plan: m.Intent.Plan,
		Rooms: keep.RoomsOf(s, m), Inside: m.Intent.StillInside(), Tags: m.Tags, Guests: m.Here(s), Silenced: m.Silenced, WriteOnly: m.WriteOnly,
		Left: m.Intent.Left, Done: m.Intent.Done, Known: m.KnownCords(), Phase: leftIn(m.Intent), Problems: m.WornCords(),
	}
	status.Known.Crosspoints = nil
	for _, c := range m.Known.Crosspoints {
		if c.How == keep.Read {
			c.How = keep.Assumed
		}
		status.Known.Crosspoints = append(status.Known.Crosspoints, c)
	}
	for _, x := range s.Matrices {
		status.Matrices = append(status.Matrices, keep.MatrixStatus{Name: x.Name, Driven: x.Device != nil})
	}
	return status
}

// leftIn is how far a recall has come by what is left of it.
func leftIn(i keep.Intent) keep.Phase {
	switch {
	case i.Idle():
		return keep.Idle
	case len(i.Left) > 0:
		return keep.Waiting
	case i.Given:
		return keep.Given
	}
	return keep.Stuck
}

// knownOr is the patch that a journal has; the rest patch for what nobody has
// said anything of.
func knownOr(m keep.Memory, rest patch.Patch) patch.Patch {
	known := m.Known.Patch()
	if !m.BayTold {
		known.Cords, known.Leads, known.Dummies = rest.Cords, rest.Leads, rest.Dummies
	}
	if len(m.Known.Crosspoints) == 0 {
		known.Crosspoints = rest.Crosspoints
	}
	return known
}
