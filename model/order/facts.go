package order

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// facts are what is known of a task before any order is looked for. They do not
// change.
type facts struct {
	room        *heard.Room
	studio      *studio.Studio
	from        patch.Patch
	target      patch.Patch
	moves       []plan.Move
	cords       Cords
	crosspoints []plan.Change
	firstID     int
	earlier     bool
	session     *session.Session
	// insides are what the software carries: of the session, and of those before.
	insides []inside
	gear    map[string]*studio.Gear
	// audible are loudspeakers and headphones; cut are those that the session has
	// muted throughout, at their own switch.
	audible []studio.Gear
	cut     map[string]bool
	// amplifiers are the matrices in which crosspoints are no metal.
	amplifiers map[string]bool
	// changeOver is the step that changes the software over, where changesOver.
	changeOver  plan.Step
	changesOver bool
}

// inside is what software or a desk carries, and the same by its inputs.
type inside struct {
	passes []studio.Pass
	from   map[name.Point][]name.Point
}

func newFacts(t Task) *facts {
	s := t.Session
	if s == nil {
		s = &session.Session{}
	}
	room := t.Room.For(t.Session, t.From)
	f := &facts{
		room: room, studio: room.Studio(), from: t.From, target: t.Target,
		moves: t.Moves, cords: t.Cords, crosspoints: t.Crosspoints, firstID: max(t.FirstID, 1), earlier: t.Earlier,
		session: s, insides: []inside{newInside(s.Inside)}, gear: map[string]*studio.Gear{}, cut: map[string]bool{}, amplifiers: map[string]bool{},
	}
	if len(t.PreviousInside) > 0 {
		f.insides = append(f.insides, newInside(t.PreviousInside))
	}
	f.changeOver, f.changesOver = changeOver(t)
	for _, m := range f.studio.Matrices {
		f.amplifiers[m.Name] = m.Kind != studio.Contacts
	}
	for i := range f.studio.Gear {
		g := &f.studio.Gear[i]
		f.gear[g.Name] = g
		if g.Role != studio.RoleUnsaid {
			f.audible = append(f.audible, *g)
			f.cut[g.Name] = slices.Contains(s.Cut, g.Name)
		}
	}
	return f
}

func newInside(passes []studio.Pass) inside {
	i := inside{passes: passes, from: map[name.Point][]name.Point{}}
	for _, p := range passes {
		i.from[p.In] = append(i.from[p.In], p.Out)
	}
	return i
}

// state is the room with a patch in it.
func (f *facts) state(p patch.Patch) *state {
	live := f.room.Live(p)
	return &state{live: live, numbers: live.Numbers()}
}

// passed are the outputs that gear always passes an input to.
func (f *facts) passed(in name.Point) []name.Point {
	if g := f.gear[in.Owner]; g != nil {
		return outputsOf(g.Passes, in)
	}
	return nil
}

// carried are the outputs that an input comes out of under one of what the
// software carries, without gear through which the session allows a loop.
func (f *facts) carried(in name.Point, i inside) []name.Point {
	if f.loopAllowed(in) {
		return nil
	}
	return slices.DeleteFunc(append(f.passed(in), i.from[in]...), f.loopAllowed)
}

// mayCarry are all outputs that an input may come out of: nobody but the person at
// the desk knows how its faders stand.
func (f *facts) mayCarry(in name.Point) []name.Point {
	outs := f.passed(in)
	if g := f.gear[in.Owner]; g != nil {
		outs = append(outs, outputsOf(g.CanPass, in)...)
	}
	for _, i := range f.insides {
		outs = append(outs, i.from[in]...)
	}
	return outs
}

func outputsOf(passes []studio.Pass, in name.Point) []name.Point {
	var outs []name.Point
	for _, p := range passes {
		if p.In == in {
			outs = append(outs, p.Out)
		}
	}
	return outs
}

// loopAllowed says whether the session allows a loop through a port.
func (f *facts) loopAllowed(p name.Point) bool { return slices.Contains(f.session.Loops, p) }

// overridden are the inputs at the rear that a socket takes over.
func (f *facts) overridden(socket name.Point) []name.Point {
	var rear []name.Point
	if g := f.gear[socket.Owner]; g != nil {
		for _, s := range g.Overrides {
			if s.Front == socket {
				rear = append(rear, s.Rear)
			}
		}
	}
	return rear
}

// silent says whether gear is muted before anything is done, whatever that is: the
// session cuts it, or an output of a matrix that is off at either end mutes it.
func (f *facts) silent(g studio.Gear) bool {
	off := func(p patch.Patch) bool {
		return !slices.ContainsFunc(f.mutedBy(g), func(out name.Point) bool { return len(p.Inputs(out)) > 0 })
	}
	return f.cut[g.Name] || !g.Mute.Output.IsZero() && (off(f.from) || off(f.target))
}

func inputs(g studio.Gear) []name.Point {
	var points []name.Point
	for _, p := range g.Ports {
		if p.Direction == studio.Input {
			points = append(points, p.Point)
		}
	}
	return points
}
