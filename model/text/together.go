package text

import (
	"slices"

	"bayhand/model/studio"
)

// readTogether reads [[live, mix]]: groups of rooms that stand in one place. No room is in
// two groups, and one that holds is a group of two rooms or more.
func (r *roomReader) readTogether(n *node) {
	first := map[string]*node{}
	for _, item := range n.all() {
		if item.shape != list {
			r.fault(item, "shape", "write [[live, mix]]", "%s stands here; each group is a list of rooms", quoteText(item.text))
			continue
		}
		if group := r.roomsOf(item, first); len(group) > 1 {
			r.studio.Together = append(r.studio.Together, group)
		}
	}
}

// roomsOf are the rooms of a group.
func (r *roomReader) roomsOf(n *node, first map[string]*node) (group []string) {
	var names []string
	for _, room := range r.studio.Rooms {
		names = append(names, room.Name)
	}
	if len(n.items) < 2 {
		r.fault(n, "count", "write [live, mix]", "rooms that stand together are two or more")
	}
	for _, item := range r.oneOrMore(n) {
		switch {
		case !slices.ContainsFunc(r.studio.Rooms, func(room studio.Room) bool { return room.Name == item.text }):
			r.fault(item, "unknown-name", maybe(item.text, names), "no room is called %s under rooms:", quoteText(item.text))
		case first[item.text] != nil:
			r.fault(item, "duplicate", "write all that stand in one place into one group", "the room %s stands together with others in line %d already", item.text, first[item.text].place.Line)
		default:
			first[item.text] = item
			group = append(group, item.text)
		}
	}
	return group
}
