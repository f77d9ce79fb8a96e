package heard

import (
	"reflect"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// For is the room as it is in a session: with the session's guests and the choices of
// its switches. A lead in the patches may be of a port that neither the studio nor the
// session has, such as that of an earlier guest that was not unplugged. Such a port is
// added as a stranger: it may drive, so it counts as an output unless its name begins
// with "in". Where nothing is added or chosen, the room itself is returned. The session
// may be nil.
func (r *Room) For(s *session.Session, patches ...patch.Patch) *Room {
	to := *r.described
	if s != nil {
		to.Gear = withGuests(to.Gear, s.Guests)
		to.Gear = WithSelections(to.Gear, s.Selections)
	}
	to.Gear = withStrangers(to.Gear, r.leadsOf(patches))
	if reflect.DeepEqual(to.Gear, r.described.Gear) {
		return r
	}
	return NewRoom(&to)
}

// withGuests puts guests behind the gear; one that is there already under its
// name takes that place.
func withGuests(gear, guests []studio.Gear) []studio.Gear {
	if len(guests) == 0 {
		return gear
	}
	gear = slices.Clone(gear)
	for _, guest := range guests {
		if at := slices.IndexFunc(gear, func(g studio.Gear) bool { return g.Name == guest.Name }); at >= 0 {
			gear[at] = guest
			continue
		}
		gear = append(gear, guest)
	}
	return gear
}

// WithSelections is gear with the choices of a session first in their switches;
// other switches are as they were.
func WithSelections(gear []studio.Gear, selections []session.Selection) []studio.Gear {
	if len(selections) == 0 {
		return gear
	}
	gear = slices.Clone(gear)
	for i := range gear {
		for _, s := range selections {
			if s.Gear == gear[i].Name {
				gear[i].Selects = choose(gear[i].Selects, s.Ports)
			}
		}
	}
	return gear
}

func choose(selects []studio.Select, ports []name.Point) []studio.Select {
	selects = slices.Clone(selects)
	for i, s := range selects {
		at := slices.IndexFunc(s.Choices, func(c []name.Point) bool { return slices.Equal(c, ports) })
		if at < 1 {
			continue
		}
		choices := [][]name.Point{s.Choices[at]}
		choices = append(choices, s.Choices[:at]...)
		selects[i].Choices = append(choices, s.Choices[at+1:]...)
	}
	return selects
}

func (r *Room) leadsOf(patches []patch.Patch) []name.Point {
	var ports []name.Point
	for _, p := range patches {
		for _, l := range p.Leads {
			if !r.Has(l.Port) && !slices.Contains(ports, l.Port) {
				ports = append(ports, l.Port)
			}
		}
	}
	return ports
}

// withStrangers adds the ports that no gear has. Gear that is known and lacks
// the port gets it too: its description may have changed since the lead went in.
func withStrangers(gear []studio.Gear, ports []name.Point) []studio.Gear {
	for _, p := range ports {
		port := studio.Port{Point: p, Direction: studio.Output}
		if strings.HasPrefix(p.Stem, "in") || p.Part == name.Return {
			port.Direction = studio.Input
		}
		at := slices.IndexFunc(gear, func(g studio.Gear) bool { return g.Name == p.Owner })
		gear = slices.Clone(gear)
		if at < 0 {
			gear = append(gear, studio.Gear{Name: p.Owner, Ports: []studio.Port{port}})
			continue
		}
		if !slices.ContainsFunc(gear[at].Ports, func(q studio.Port) bool { return q.Point == p }) {
			gear[at].Ports = append(slices.Clone(gear[at].Ports), port)
		}
	}
	return gear
}

// selected is a studio with only the passes that hold with the first choice of
// every switch; the studio itself where it has no switch.
func selected(s *studio.Studio) *studio.Studio {
	if !slices.ContainsFunc(s.Gear, func(g studio.Gear) bool { return len(g.Selects) > 0 }) {
		return s
	}
	to := *s
	to.Gear = slices.Clone(s.Gear)
	for i, g := range to.Gear {
		out := Unselected(g)
		gone := func(p studio.Pass) bool { return slices.Contains(out, p.In) || slices.Contains(out, p.Out) }
		to.Gear[i].Passes = slices.DeleteFunc(slices.Clone(g.Passes), gone)
		to.Gear[i].CanPass = slices.DeleteFunc(slices.Clone(g.CanPass), gone)
	}
	return &to
}

// Unselected are the ports of gear that are out of use with the first choice of
// each of its switches.
func Unselected(g studio.Gear) []name.Point {
	var out []name.Point
	for _, s := range g.Selects {
		for i, choice := range s.Choices {
			for _, p := range choice {
				if i > 0 && !slices.Contains(s.Choices[0], p) {
					out = append(out, p)
				}
			}
		}
	}
	return out
}

// Parted are the crosspoints that a patch lacks, or has, against what matrices
// switch together: it cannot be in these rooms.
func (r *Room) Parted(p patch.Patch) []patch.Crosspoint {
	var parted []patch.Crosspoint
	for _, m := range r.studio.Matrices {
		for _, group := range m.Stereo {
			parted = append(parted, partedIn(m, group, p)...)
		}
	}
	return parted
}

// partedIn are the closed crosspoints of a group whose fellow is not closed.
func partedIn(m studio.Matrix, group []name.Point, p patch.Patch) []patch.Crosspoint {
	var parted []patch.Crosspoint
	for _, c := range p.Crosspoints {
		k := slices.Index(group, c.Output)
		if k < 0 {
			continue
		}
		for i, out := range group {
			if !slices.Contains(p.Crosspoints, patch.Crosspoint{Output: out, Input: m.In(c.Input.Number - k + i)}) {
				parted = append(parted, c)
				break
			}
		}
	}
	return parted
}
