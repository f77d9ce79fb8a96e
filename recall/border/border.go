// Package border keeps the one table that rooms share: which room holds which tie
// line between rooms, and which gear that is in no room. All else has one writer, the
// keeper of its room, and needs nobody's consent.
//
// Vocabulary: a place is what a room can hold, by its name; a hold says who has it and
// since when; a claim takes places, all or none; a release gives them back; an act is
// one of these, and a view is the table with the time at which it was known to be so.
//
// A claim is a physical fact. The cord that is plugged into a tie stays there when the
// host of its room dies, so a claim never ends by time: the room says that the cord is
// out, or a person takes the place away, which stands in the table from then on.
//
// Every room counts its acts, and its own journal has the count: the table takes each
// number once. A person's act has a mark instead. What comes a second time, since an
// answer was lost on the way, changes nothing; what comes late is refused. The rules are in decide.go alone; Memory and
// the package etcd below bring them what stands and keep what comes of them.
//
// The package knows no studio, no plan and no device.
package border

import (
	"context"
	"maps"
	"slices"
	"time"
)

// Place is a tie line between rooms or gear in no room, by its name. Hosts give one
// place the same name, since they read the same studio.
type Place string

// Hold is who has a place.
type Hold struct {
	Room    string `json:"room"`
	Session string `json:"session"`
	// Recall is the room's recall that needs the place; Number the act that took it or
	// kept it last.
	Recall uint64 `json:"recall"`
	Number uint64 `json:"number"`
	// By is who asked for it, Host where.
	By   string `json:"by,omitempty"`
	Host string `json:"host,omitempty"`
	// Since is when the room took it, by the clock of its host.
	Since time.Time `json:"since"`
}

// Last is the newest act of a room, from which one that comes again or late is told.
type Last struct {
	Number uint64  `json:"number"`
	Do     Do      `json:"do"`
	Places []Place `json:"places"`
}

// Taking is a place that a person took away from a room.
type Taking struct {
	Place Place     `json:"place"`
	From  Hold      `json:"from"`
	By    string    `json:"by"`
	At    time.Time `json:"at"`
}

// Announcement is what the host of a room tells the others of it. It is no claim, and
// may be old.
type Announcement struct {
	Room string `json:"room"`
	Host string `json:"host"`
	// Page is the address of the room's page at its host; empty where others do not
	// reach it.
	Page    string    `json:"page,omitempty"`
	Session string    `json:"session"`
	Phase   string    `json:"phase"`
	At      time.Time `json:"at"`
	// Against are places that are plugged there although another room holds them.
	Against []Place `json:"against,omitempty"`
}

// Same says whether two announcements tell the same, whenever they were made.
func (a Announcement) Same(other Announcement) bool {
	return a.Room == other.Room && a.Host == other.Host && a.Page == other.Page &&
		a.Session == other.Session && a.Phase == other.Phase && slices.Equal(a.Against, other.Against)
}

// Table is who holds what, at one revision. A revision is never that of two tables.
type Table struct {
	Revision uint64          `json:"revision"`
	Holds    map[Place]Hold  `json:"holds"`
	Rooms    map[string]Last `json:"rooms"`
	Files    Files           `json:"files"`
	// Hosts are those whose daemons entered, with the files that each had last.
	Hosts map[string]Entry `json:"hosts,omitempty"`
	// Takings are all places that persons took away, the newest last.
	Takings []Taking `json:"takings"`
	// Persons are the marks of all persons' acts that changed something, from which one
	// that comes again is told.
	Persons map[string]time.Time `json:"persons"`
}

// Held are the places of a room, sorted.
func (t Table) Held(room string) []Place {
	var all []Place
	for place, h := range t.Holds {
		if h.Room == room {
			all = append(all, place)
		}
	}
	slices.Sort(all)
	return all
}

// Clone is a table that can be changed without changing t. Its lists are never null.
func (t Table) Clone() Table {
	c := Table{Revision: t.Revision, Files: t.Files, Holds: maps.Clone(t.Holds), Rooms: maps.Clone(t.Rooms),
		Takings: slices.Clone(t.Takings), Persons: maps.Clone(t.Persons), Hosts: maps.Clone(t.Hosts)}
	if c.Holds == nil {
		c.Holds = map[Place]Hold{}
	}
	if c.Rooms == nil {
		c.Rooms = map[string]Last{}
	}
	if c.Takings == nil {
		c.Takings = []Taking{}
	}
	if c.Persons == nil {
		c.Persons = map[string]time.Time{}
	}
	if c.Hosts == nil {
		c.Hosts = map[string]Entry{}
	}
	return c
}

// View is the table as it was known last.
type View struct {
	Table Table `json:"table"`
	// Seen is when it was known to be so; its age is the time since.
	Seen time.Time `json:"seen"`
	// Announced are the rooms as their hosts told last, sorted by room.
	Announced []Announcement `json:"announced"`
	// Grants are those of served lines, sorted by line.
	Grants []Grant `json:"grants,omitempty"`
	// Cut is since when and why the table is not reached; nil where it is.
	Cut *Cut `json:"cut,omitempty"`
	// Warnings say what else is wrong while the table is reached, such as a server of
	// several that does not answer.
	Warnings []string `json:"warnings,omitempty"`
}

// Cut is the time in which a table is not reached.
type Cut struct {
	Since time.Time `json:"since"`
	Why   string    `json:"why"`
}

// Border is the table as a room sees it. Its methods may be called from anywhere.
type Border interface {
	// Act carries out an act, all of it or nothing, and returns the table that has it.
	// The errors are a *HeldError, a *FilesError, ErrLate, ErrLost, ErrUsage, ErrUnreached,
	// or that of the context. After ErrUnreached and the context's error it is not known whether
	// the act was carried out: the same act again says so.
	Act(ctx context.Context, act Act) (View, error)
	// View is the table as it is now, or ErrUnreached with the newest that is known.
	View(ctx context.Context) (View, error)
	// Announce tells the other hosts how a room is.
	Announce(ctx context.Context, a Announcement) error
	// Watch gives the newest view at once, and each that differs. A slow reader misses
	// those between. The channel is closed when the context ends.
	Watch(ctx context.Context) <-chan View
}

// Clone is a view that can be changed without changing v. Its lists are never null.
func (v View) Clone() View {
	v.Table = v.Table.Clone()
	v.Announced = append([]Announcement{}, v.Announced...)
	v.Grants = slices.Clone(v.Grants)
	if v.Cut != nil {
		c := *v.Cut
		v.Cut = &c
	}
	v.Warnings = slices.Clone(v.Warnings)
	return v
}
