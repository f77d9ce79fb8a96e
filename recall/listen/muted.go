package listen

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// Silent is gear that hears nothing since a matrix mutes it.
type Silent struct {
	Gear string
	// By is the output of the matrix that is off, With all that are switched together with
	// it, itself among them.
	By   name.Point
	With []name.Point
	// Meanwhile is gear that is to be muted while the room is listened to, by a Hold.
	Meanwhile bool
}

// Silences are the loudspeakers and headphones of a studio that a matrix mutes, as it
// was read back: its output that mutes them is off, and the matrix answers. What was
// only sent to a matrix mutes nothing.
func Silences(s *studio.Studio, status keep.Status) []Silent {
	var found []Silent
	for _, g := range s.Gear {
		if m := silentBy(s, g); mutes(g) && !slices.ContainsFunc(m.changes(), func(off plan.Change) bool { return !readBack(status, off) }) {
			found = append(found, m)
		}
	}
	return found
}

// Mutable are the loudspeakers and headphones that a device of a matrix mutes once it is
// asked to, but for those that are silent as it is.
func Mutable(s *studio.Studio, silent []Silent) []Silent {
	var found []Silent
	for _, g := range s.Gear {
		is := slices.ContainsFunc(silent, func(m Silent) bool { return m.Gear == g.Name })
		if mutes(g) && !is && slices.ContainsFunc(s.Matrices, func(m studio.Matrix) bool { return m.Name == g.Mute.Output.Owner && m.Device != nil }) {
			m := silentBy(s, g)
			m.Meanwhile = true
			found = append(found, m)
		}
	}
	return found
}

func mutes(g studio.Gear) bool { return g.Role != studio.RoleUnsaid && !g.Mute.Output.IsZero() }

// silentBy is gear as its matrix mutes it.
func silentBy(s *studio.Studio, g studio.Gear) Silent {
	return Silent{Gear: g.Name, By: g.Mute.Output, With: s.Gang(g.Mute.Output)}
}

// changes are those by which a matrix mutes gear.
func (m Silent) changes() []plan.Change {
	var off []plan.Change
	for _, out := range m.With {
		off = append(off, plan.Change{Output: out})
	}
	return off
}

// off are the changes that mute some gear, each once.
func off(all []Silent, which func(Silent) bool) []plan.Change {
	var changes []plan.Change
	for _, m := range all {
		for _, one := range m.changes() {
			if which(m) && !slices.Contains(changes, one) {
				changes = append(changes, one)
			}
		}
	}
	return changes
}

// meanwhile are the changes that mute gear while the room is listened to.
func meanwhile(all []Silent) []plan.Change {
	return off(all, func(m Silent) bool { return m.Meanwhile })
}

// Beside are the inputs, but those of gear that is muted, that lose signal while the room is
// listened to: what the outputs feed that mute, and those that are switched together with
// them. It takes the time of hearing the room twice.
func (l *Plan) Beside() []name.Point {
	var lost []name.Point
	for _, c := range l.Room.Hear(l.Patch).Changes(l.Room.Hear(l.heard)) {
		muted := slices.ContainsFunc(l.Muted, func(m Silent) bool { return m.Gear == c.Input.Owner })
		if !muted && slices.ContainsFunc(c.Was, func(p name.Point) bool { return !slices.Contains(c.Is, p) }) {
			lost = append(lost, c.Input)
		}
	}
	return lost
}

// Silenced are the changes by which gear is muted already: a Hold keeps them so.
func (l *Plan) Silenced() []plan.Change {
	return off(l.Muted, func(m Silent) bool { return !m.Meanwhile })
}

// readBack says whether a matrix answers, and was read to have switched a change.
func readBack(status keep.Status, c plan.Change) bool {
	if !slices.ContainsFunc(status.Matrices, func(m keep.MatrixStatus) bool { return m.Name == c.Output.Owner && m.Answers }) {
		return false
	}
	of := slices.DeleteFunc(slices.Clone(status.Known.Crosspoints), func(k keep.KnownCrosspoint) bool { return k.Output != c.Output })
	return len(of) > 0 && !slices.ContainsFunc(of, func(k keep.KnownCrosspoint) bool { return k.How != keep.Read || k.Input != c.Input })
}

// Switched is a patch with changes.
func Switched(p patch.Patch, changes []plan.Change) patch.Patch {
	p = p.Clone()
	for _, c := range changes {
		p.Crosspoints = slices.DeleteFunc(p.Crosspoints, func(x patch.Crosspoint) bool { return x.Output == c.Output })
		if !c.Input.IsZero() {
			p.Crosspoints = append(p.Crosspoints, patch.Crosspoint{Output: c.Output, Input: c.Input})
		}
	}
	p.Sort()
	return p
}
