package page

import (
	"context"
	"slices"

	"bayhand/recall/words"
)

// awayRow is a room that another host keeps, with its parts that are drawn there.
type awayRow struct{ Room, Host, Page, Parts string }

// away are the rooms that other hosts keep, by the names of their parts: what is plugged
// and switched there is known to these hosts alone.
func (h drawer) away(ctx context.Context) map[string]HouseRoom {
	if h.page.House == nil {
		return nil
	}
	all := map[string]HouseRoom{}
	for _, one := range h.page.House(ctx).Rooms {
		for _, r := range h.page.Studio.Rooms {
			if r.Name != one.Room || one.Here {
				continue
			}
			for _, part := range r.Parts {
				all[part] = one
			}
		}
	}
	return all
}

// leaveAway takes the bays and matrices of other hosts out of a view, and names them with
// the page that has them. A touched point there says so.
func (h drawer) leaveAway(v *view, away map[string]HouseRoom) {
	if len(away) == 0 {
		return
	}
	gone := func(part string) bool { _, is := away[part]; return is }
	v.Bays = slices.DeleteFunc(v.Bays, func(b bay) bool { return gone(b.Name) })
	v.Matrices = slices.DeleteFunc(v.Matrices, func(m matrix) bool { return gone(m.Name) })
	for i := range v.Racks {
		v.Racks[i] = slices.DeleteFunc(v.Racks[i], func(one inRack) bool { return gone(one.Name) })
	}
	v.Racks = slices.DeleteFunc(v.Racks, func(r rack) bool { return len(r) == 0 })
	v.Away = h.awayRows(away)
	if t := v.Touched; t != nil && gone(t.owner) {
		one := away[t.owner]
		t.Facts = []string{words.Put("{part} is in room {room}, which host {host} keeps: what is plugged there is known there", "part", h.page.words.Owner(t.owner), "room", one.Room, "host", one.Host)}
		t.IsJack = false
	}
}

func (h drawer) awayRows(away map[string]HouseRoom) []awayRow {
	var all []awayRow
	parts := map[string][]string{}
	for _, b := range h.page.Studio.Bays {
		if one, is := away[b.Name]; is {
			parts[one.Room] = append(parts[one.Room], h.page.words.Owner(b.Name))
		}
	}
	for _, m := range h.page.Studio.Matrices {
		if one, is := away[m.Name]; is {
			parts[one.Room] = append(parts[one.Room], h.page.words.Owner(m.Name))
		}
	}
	for _, r := range h.page.Studio.Rooms {
		if named := parts[r.Name]; len(named) > 0 {
			one := away[r.Parts[slices.IndexFunc(r.Parts, func(part string) bool { _, is := away[part]; return is })]]
			all = append(all, awayRow{one.Room, one.Host, one.Page, words.List(named)})
		}
	}
	return all
}
