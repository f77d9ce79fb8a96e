package keep

import (
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Guest is gear that came for a session and that the studio's file does not have, as
// far as plans and words depend on it. While leads of it are in, it is remembered after
// its session too: a lead drives or listens whatever is recalled next.
type Guest struct {
	Name  string `json:"name"`
	Label string `json:"label,omitempty"`
	// Loose says that leads of other gear can be plugged into it.
	Loose  bool          `json:"loose,omitempty"`
	Role   string        `json:"role,omitempty"`
	MuteAt string        `json:"mute-at,omitempty"`
	Ports  []GuestPort   `json:"ports"`
	Passes []studio.Pass `json:"passes,omitempty"`
}

// GuestPort is an output or an input of a guest, with the kind of line that it is.
type GuestPort struct {
	Port     name.Point `json:"port"`
	Input    bool       `json:"input,omitempty"`
	Label    string     `json:"label,omitempty"`
	Kind     string     `json:"kind"`
	Balanced bool       `json:"balanced,omitempty"`
	Phantom  bool       `json:"phantom,omitempty"`
}

func guestOf(g studio.Gear) Guest {
	one := Guest{Name: g.Name, Label: g.Label, Loose: g.Loose, MuteAt: g.Mute.At, Passes: g.Passes, Ports: []GuestPort{}}
	if g.Role != studio.RoleUnsaid {
		one.Role = g.Role.String()
	}
	for _, p := range g.Ports {
		one.Ports = append(one.Ports, GuestPort{p.Point, p.Direction == studio.Input, p.Label, p.Line.Kind.String(), p.Line.Balanced, p.Line.Phantom})
	}
	return one
}

// Gear is the guest as gear of a studio.
func (g Guest) Gear() studio.Gear {
	to := studio.Gear{Name: g.Name, Label: g.Label, Loose: g.Loose, Role: named(g.Role, studio.Loudspeaker, studio.Headphone), Passes: g.Passes, Mute: studio.Mute{ByPerson: g.MuteAt != "", At: g.MuteAt}}
	for _, p := range g.Ports {
		port := studio.Port{Point: p.Port, Direction: studio.Output, Label: p.Label, Line: studio.Line{Kind: named(p.Kind, lineKinds...), Balanced: p.Balanced, Phantom: p.Phantom}}
		if p.Input {
			port.Direction = studio.Input
		}
		to.Ports = append(to.Ports, port)
	}
	return to
}

var lineKinds = []studio.LineKind{studio.LineLevel, studio.MicLevel, studio.InstrumentLevel, studio.HeadphoneLevel, studio.LoudspeakerLevel}

// named is the one among several that a word means; the zero value, which is not known,
// where it means none.
func named[T fmt.Stringer](word string, among ...T) (one T) {
	for _, k := range among {
		if k.String() == word {
			return k
		}
	}
	return one
}

// hangs says whether leads of a guest are in, or leads in it.
func (g Guest) hangs(leads []KnownLead) bool {
	return slices.ContainsFunc(leads, func(l KnownLead) bool { return l.Port.Owner == g.Name || l.Jack.Owner == g.Name })
}

// Here are the guests of the sessions that are held, and those of earlier ones whose
// leads are still in.
func (m Memory) Here(s *studio.Studio) []Guest {
	var all []Guest
	add := func(g Guest) {
		if !slices.ContainsFunc(all, func(had Guest) bool { return had.Name == g.Name }) {
			all = append(all, g)
		}
	}
	if s == nil {
		return nil
	}
	for _, wanted := range m.Intent.wanted() {
		for _, g := range wanted.Guests {
			add(guestOf(g))
		}
	}
	for _, g := range m.staying() {
		if !slices.ContainsFunc(s.Gear, func(had studio.Gear) bool { return had.Name == g.Name }) {
			add(g)
		}
	}
	return all
}

// staying are the guests of earlier sessions whose leads are still in.
func (m Memory) staying() []Guest {
	return slices.DeleteFunc(slices.Clone(m.Guests), func(g Guest) bool { return !g.hangs(m.Known.Leads) })
}

// remember keeps the guests of what is held that have leads in, before something else
// is intended.
func (m *Memory) remember(s *studio.Studio) {
	m.Guests = m.Here(s)
	m.Guests = m.staying()
}

// Present is a studio as it stands: with the guests that are here, and with the jacks
// that persons tagged among the faulty ones. Of guests only the ports are there that
// have a lead: no plan plugs another that no session asks for.
func Present(s *studio.Studio, tags []Tag, guests []Guest, p patch.Patch) *studio.Studio {
	return withGuests(tagged(s, tags), leadsOnly(guests, p.Leads))
}

func leadsOnly(guests []Guest, leads []patch.Lead) []Guest {
	has := func(p name.Point) bool {
		return slices.ContainsFunc(leads, func(l patch.Lead) bool { return l.Port == p || l.Jack == p })
	}
	var all []Guest
	for _, g := range guests {
		g.Ports = slices.DeleteFunc(slices.Clone(g.Ports), func(p GuestPort) bool { return !has(p.Port) })
		g.Passes = slices.DeleteFunc(slices.Clone(g.Passes), func(p studio.Pass) bool { return !has(p.In) || !has(p.Out) })
		if len(g.Ports) > 0 {
			all = append(all, g)
		}
	}
	return all
}

// withGuests is a studio with guests among its gear.
func withGuests(s *studio.Studio, guests []Guest) *studio.Studio {
	if s == nil || len(guests) == 0 {
		return s
	}
	to := *s
	to.Gear = slices.Clone(s.Gear)
	for _, g := range guests {
		to.Gear = append(to.Gear, g.Gear())
	}
	return &to
}

// Gear are guests as gear, for their labels.
func Gear(guests []Guest) []studio.Gear {
	var all []studio.Gear
	for _, g := range guests {
		all = append(all, g.Gear())
	}
	return all
}
