package keep

import (
	"reflect"
	"slices"
	"strings"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// loud is what may sound by matrices that do not answer. It is found again only when what it
// depends on has changed.
type loud struct {
	of   loudOf
	gear map[string][]string // by matrix, as people call it
}

// loudOf is what that depends on. Nobody changes any of it.
type loudOf struct {
	studio *studio.Studio
	wanted *session.Session
	guests []Guest
	// passes are what gear passes on or can, and what software carries.
	passes []studio.Pass
	// in is what is known to be in, to what the steps that are left lead to.
	in, to patch.Patch
}

// problems say which loudspeakers and headphones a matrix feeds, or mutes, that does not
// answer, while somebody is to plug. What was read of it before proves nothing about them,
// and no step mutes what is assumed to be silent. The room is that of the studio alone; it
// takes time linear in the studio where anything is new.
func (l *loud) problems(room *heard.Room, k *machine) []Problem {
	m := k.memory
	silent := func(h device) bool { return h.other == nil && !h.answers && h.tried }
	if room == nil || k.studio == nil || !slices.ContainsFunc(k.devices.all, silent) || !slices.ContainsFunc(m.Intent.Left, plugs) {
		return nil
	}
	if of := loudIn(k.studio, m); !reflect.DeepEqual(l.of, of) {
		*l = loud{of, map[string][]string{}}
		at := of.patched(room)
		for _, x := range k.studio.Matrices {
			l.gear[x.Name] = of.soundingBy(x, at)
		}
	}
	var all []Problem
	for _, h := range k.devices.all {
		if gear := l.gear[h.matrix.Name]; silent(h) && len(gear) > 0 {
			all = append(all, Problem{Code: "mute-unknown", Severity: "warning", Since: h.since,
				Message: phrase.Put("Turn {gear} down by hand before you plug: {matrix} feeds or mutes them, and does not answer.",
					"gear", strings.Join(gear, ", "), "matrix", called(h.matrix))})
		}
	}
	return all
}

// plugs says whether a step moves a plug.
func plugs(s plan.Step) bool {
	switch s.Do {
	case plan.Plug, plan.Pull, plan.MoveEnd, plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead:
		return true
	case plan.Switch, plan.ChangeOver, plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn:
	}
	return false
}

func loudIn(s *studio.Studio, m Memory) loudOf {
	in := m.Known.Patch()
	of := loudOf{studio: s, wanted: m.Intent.merged(s), guests: leadsOnly(m.Here(s), in.Leads), in: in}
	if m.Intent.Plan != nil {
		of.to = patch.Patch(m.Intent.Plan.Target)
	}
	gear := slices.Concat(s.Gear, Gear(of.guests))
	of.passes = slices.Clone(m.Intent.StillInside())
	if of.wanted != nil {
		gear = append(gear, of.wanted.Guests...)
		of.passes = append(of.passes, of.wanted.Inside...)
	}
	for _, g := range gear {
		of.passes = slices.Concat(of.passes, g.Passes, g.CanPass)
	}
	return of
}

// patched is the room with all that is in, and all that will be.
func (of loudOf) patched(room *heard.Room) *graph.State {
	in := session.Session{}
	if of.wanted != nil {
		in = *of.wanted
	}
	in.Guests = append(Gear(of.guests), in.Guests...)
	live := room.For(&in, of.in, of.to).Live(of.in)
	live.Change(patch.Patch{}, of.to)
	return live.Numbers()
}

// soundingBy is the gear of loudspeakers and headphones that a matrix mutes, or that its outputs
// lead to.
func (of loudOf) soundingBy(m studio.Matrix, at *graph.State) []string {
	var outputs []name.Point
	for n := 1; n <= m.Outputs; n++ {
		outputs = append(outputs, m.Out(n))
	}
	led := graph.LoudFrom(at, outputs, of.passes)
	var all []string
	for _, g := range at.Graph.Studio.Gear {
		if g.Mute.Output.Owner == m.Name || slices.Contains(led, g.Name) {
			all = append(all, at.Graph.Studio.Label(g.Name))
		}
	}
	return all
}
