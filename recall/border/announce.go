package border

import (
	"maps"
	"slices"
	"strings"
)

// Announcements are the newest of each room. The zero Announcements have none.
type Announcements struct{ rooms map[string]Announcement }

// Put takes the newest of a room.
func (a *Announcements) Put(one Announcement) {
	if a.rooms == nil {
		a.rooms = map[string]Announcement{}
	}
	a.rooms[one.Room] = one
}

// Sorted are all, by room; never nil.
func (a *Announcements) Sorted() []Announcement {
	all := slices.AppendSeq([]Announcement{}, maps.Values(a.rooms))
	slices.SortFunc(all, func(x, y Announcement) int { return strings.Compare(x.Room, y.Room) })
	return all
}
