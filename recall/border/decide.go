package border

import (
	"fmt"
	"slices"
	"time"
)

// Change is what an act changes in a table: few entries, whatever the size of that.
// The zero Change changes nothing.
type Change struct {
	// Set are new or newer holds, Drop places that nobody holds any more.
	Set  map[Place]Hold
	Drop []Place
	// Room and Last are the newest act of a room; Room is empty for a person's act.
	Room string
	Last Last
	// Mark is that of a person's act, At when it was asked for; empty for a room's act.
	Mark string
	At   time.Time
	// Takings are what a person took away.
	Takings []Taking
	// Files are those of the house from now on; nil where they stay.
	Files *Files
	// Host and Entry are a daemon that entered; Host is empty where none did.
	Host  string
	Entry Entry
}

// Nothing says whether a change changes nothing.
func (c Change) Nothing() bool {
	return c.Room == "" && len(c.Set) == 0 && len(c.Drop) == 0 && len(c.Takings) == 0 && c.Files == nil && c.Host == ""
}

// Decide is what an act changes in a table, or why it is not carried out. It takes time
// in proportion to the places of the act and those that the room did last.
func Decide(t Table, a Act) (Change, error) {
	if err := a.check(); err != nil {
		return Change{}, err
	}
	a.Places = a.sorted()
	switch a.Do {
	case ToTakeAway, ToAdopt:
		return persons(t, a), nil
	case ToEnter:
		return enter(t, a), nil
	case ToAgree:
		return agree(t, a), nil
	}
	last := t.Rooms[a.Room]
	own := Last{a.Number, a.Do, a.Places}
	switch {
	case a.Number < last.Number, a.Number == last.Number && !last.same(own):
		return Change{}, fmt.Errorf("%w: room %s is at its act %d, and this is %d", ErrLate, a.Room, last.Number, a.Number)
	case a.Number == last.Number:
		return Change{}, again(t, a)
	}
	if err := t.Files.differ(a); err != nil {
		return Change{}, err
	}
	if a.Do == ToRelease {
		return release(t, a, own), nil
	}
	return claim(t, a, own)
}

func (l Last) same(other Last) bool {
	return l.Number == other.Number && l.Do == other.Do && slices.Equal(l.Places, other.Places)
}

// again is the answer to an act that was carried out before.
func again(t Table, a Act) error {
	if a.Do != ToClaim {
		return nil
	}
	for _, p := range a.Places {
		if t.Holds[p].Room != a.Room {
			return fmt.Errorf("%w: %s", ErrLost, p)
		}
	}
	return nil
}

// claim takes all places or none. What the room holds already it keeps since then, for
// the newer session.
func claim(t Table, a Act, own Last) (Change, error) {
	var held HeldError
	set := map[Place]Hold{}
	for _, p := range a.Places {
		was, is := t.Holds[p]
		if is && was.Room != a.Room {
			held.Places, held.Holds = append(held.Places, p), append(held.Holds, was)
			continue
		}
		h := Hold{a.Room, a.Session, a.Recall, a.Number, a.By, a.Host, a.At}
		if is {
			h.Since = was.Since
		}
		set[p] = h
	}
	if len(held.Places) > 0 {
		return Change{}, &held
	}
	c := Change{Set: set, Room: a.Room, Last: own}
	if a.Files != "" && t.Files.Digest == "" {
		c.Files = a.files()
		c.Files.House, c.Files.Duties = t.Files.House, t.Files.Duties
	}
	return c, nil
}

// release gives back what the room holds of the places.
func release(t Table, a Act, own Last) Change {
	c := Change{Room: a.Room, Last: own}
	for _, p := range a.Places {
		if t.Holds[p].Room == a.Room {
			c.Drop = append(c.Drop, p)
		}
	}
	return c
}

// persons is what a person's act changes, unless it was carried out before.
func persons(t Table, a Act) Change {
	_, done := t.Persons[a.Mark]
	if done {
		return Change{}
	}
	c := Change{Files: a.files()}
	if a.Do == ToTakeAway {
		c = takeAway(t, a)
	}
	if !c.Nothing() {
		c.Mark, c.At = a.Mark, a.At
	}
	return c
}

// takeAway ends what the room holds of the places.
func takeAway(t Table, a Act) Change {
	var c Change
	for _, p := range a.Places {
		if h, is := t.Holds[p]; is && h.Room == a.Room {
			c.Drop = append(c.Drop, p)
			c.Takings = append(c.Takings, Taking{p, h, a.By, a.At})
		}
	}
	return c
}

// With is the table after a change, at the next revision; t is not changed.
func (t Table) With(c Change) Table {
	if c.Nothing() {
		return t
	}
	t = t.Clone()
	t.Revision++
	for p, h := range c.Set {
		t.Holds[p] = h
	}
	for _, p := range c.Drop {
		delete(t.Holds, p)
	}
	if c.Room != "" {
		t.Rooms[c.Room] = c.Last
	}
	if c.Files != nil {
		t.Files = *c.Files
	}
	if c.Host != "" {
		t.Hosts[c.Host] = c.Entry
	}
	if c.Mark != "" {
		t.Persons[c.Mark] = c.At
	}
	t.Takings = append(t.Takings, c.Takings...)
	return t
}
