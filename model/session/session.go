// Package session holds what must be heard where, with the settings and notes
// that go with it, as values.
//
// Chains, ranges and splits are expanded by the reader: a session's wants are
// pairs of one source and one destination.
package session

import (
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Session is one session, ready to be planned.
type Session struct {
	// Name is the file's name without .yaml; Title is what people read.
	Name, Title string
	// Like is the session that this one was written on top of; empty if none.
	Like string
	// Program is the MIDI program that recalls it, 0 to 127 as on the wire;
	// negative where it has none.
	Program int
	// Bank is the one that Program is in, 0 to 16383 (Bank Select); 0 where nothing
	// was said.
	Bank int
	// Weight is how often it is recalled, against the others; 0 where nothing was
	// said.
	Weight int
	// Guests are gear that comes for this session, beside the studio's.
	Guests []studio.Gear
	// Substitutes are units that are away. The session's lines name the stand-ins
	// already; settings and programs stay those of the unit that is away.
	Substitutes []Substitute
	// Selections are the choices that stand in this session where they are not
	// the first of their switch.
	Selections []Selection
	Wants      []Want
	// Silent destinations must hear nothing.
	Silent []name.Point
	// Cut loudspeakers are muted at their own switch, by the name of the gear.
	Cut []string
	// Loops that are meant, each by a port that it goes through.
	Loops []name.Point
	// Inside is what the software or desk carries in this session.
	Inside []studio.Pass
	// Programs of gear, in the order of the file.
	Programs []Program
	Settings []Settings
	// Pictures are photographs of fronts, for the recall sheet.
	Pictures []Picture
	Notes    string
	// Patch is the one that gave the session last; nil if none was kept.
	Patch *patch.Patch
}

// Want is one destination that must hear one source, and only that.
type Want struct {
	// Label is the line's own name, printed on strips and sheets.
	Label               string
	Source, Destination name.Point
	// Chain counts the chains of the session from 0, in the order of the file,
	// and Hop the wants along one of them: steps go chain by chain.
	Chain, Hop int
	// Via and Avoid are matrices or bays.
	Via, Avoid []string
	// Keep is true for what must not be interrupted while changes are made.
	Keep bool
	// Key is the line's place in the file, such as connect[3].
	Key string
}

// Program is a program of one piece of gear, 0 to 127 as on the wire.
type Program struct {
	Gear   string
	Number int
}

// PanelNumber is a program of the session as the panel of its gear counts it, be that
// gear the studio's or a guest.
func (s *Session) PanelNumber(of *studio.Studio, p Program) int {
	gear := of.GearNamed(p.Gear)
	for i := range s.Guests {
		if s.Guests[i].Name == p.Gear {
			gear = &s.Guests[i]
		}
	}
	return gear.PanelNumber(p.Number)
}

// Settings of one piece of gear, in the order of the file.
type Settings struct {
	Gear   string
	Values []Setting
}

// Picture is a photograph of one piece of gear. File is looked for beside the
// session's file.
type Picture struct {
	Gear, File string
	// Key is its place in the file, such as pictures.squeeze.
	Key string
}

// Setting is one knob or switch and where it stands.
type Setting struct {
	Name, Value string
}

// Substitute is a unit that is away and the gear that stands in for it.
type Substitute struct {
	Away, StandIn string
}

// Selection is one choice of one switch of gear, by its ports.
type Selection struct {
	Gear  string
	Ports []name.Point
}
