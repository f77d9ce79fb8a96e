package text

import (
	"maps"
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

func (r *studioReader) readBoxes(n *node) {
	r.records(n, func(key, value *node) {
		if !r.own(key) {
			return
		}
		v := r.fields(value, boxFields)
		b := studio.Box{Name: key.text, Label: v.text("label"), Sockets: v.number("jacks", 0), Jack: v.text("jack")}
		r.spend(key, b.Sockets)
		r.studio.Boxes = append(r.studio.Boxes, b)
	})
}

// hangsAt is where leads of gear can go, before boxes and bays are known.
type hangsAt struct {
	gear  int
	items []*node
}

func (g *gearReader) at(n *node) {
	if items := g.oneOrMore(n); len(items) > 0 {
		g.file.ats = append(g.file.ats, hangsAt{gear: len(g.file.studio.Gear), items: items})
	}
}

// oneOrMore are the texts of a scalar, or of a list.
func (r *reader) oneOrMore(n *node) []*node {
	switch {
	case n == nil:
		return nil
	case n.shape != list:
		n = &node{shape: list, items: []*node{n}}
	}
	return slices.DeleteFunc(slices.Clone(r.wholeItems(n)), func(item *node) bool { return !r.isText(item) })
}

func (r *studioReader) resolveAts() {
	for _, at := range r.ats {
		to := &r.studio.Gear[at.gear].At
		for _, item := range at.items {
			switch {
			case !r.index.isBay(item.text) && !r.index.isLoose(item.text):
				places := append(slices.Sorted(maps.Keys(r.index.boxes)), slices.Sorted(maps.Keys(r.index.bays))...)
				r.fault(item, "unknown-name", maybe(item.text, places), "no box, bay or loose gear is called %s; gear cables are plugged into those", quoteText(item.text))
			case slices.Contains(*to, item.text):
				r.fault(item, "duplicate", "", "%s stands twice", item.text)
			default:
				*to = append(*to, item.text)
			}
		}
	}
}

// roomReader reads which rooms there are, and which of them stand together.
type roomReader struct {
	*reader
	studio *studio.Studio
	index  *index
}

func (r *roomReader) read(v values) {
	r.readRooms(v.of["rooms"])
	r.readTogether(v.of["together"])
}

// readRooms reads {live: [far], mix: [main, grid]}.
func (r *roomReader) readRooms(n *node) {
	if n != nil && n.shape != mapping {
		r.fault(n, "shape", "write {live: [far], mix: [main, grid]}", "%s stands here; rooms are a mapping of names to their parts", n.shape)
		return
	}
	room := map[string]*node{}
	for _, e := range n.eachEntry() {
		if err := name.CheckOwner(e.key.text); err != nil {
			r.nameFault(e.key, err)
			continue
		}
		to := studio.Room{Name: e.key.text}
		for _, item := range r.oneOrMore(e.value) {
			if r.part(item, room) {
				to.Parts = append(to.Parts, item.text)
			}
		}
		if len(e.value.items) == 0 && e.value.shape != scalar || e.value.empty() {
			r.fault(e.key, "empty", phrase.Put("write {room}: [main]", "room", e.key.text), "the room %s has no parts", e.key.text)
		}
		r.studio.Rooms = append(r.studio.Rooms, to)
	}
}

// part says whether an item is part of a room, and of no other.
func (r *roomReader) part(item *node, room map[string]*node) bool {
	if !r.index.has(item.text) {
		r.fault(item, "unknown-name", maybe(item.text, r.index.owners()), "no bay, box, matrix or gear is called %s", quoteText(item.text))
		return false
	}
	if first := room[item.text]; first != nil {
		r.fault(item, "duplicate", "take one of them out", "%s is part of a room in line %d already; nothing is part of two", item.text, first.place.Line)
		return false
	}
	room[item.text] = item
	return true
}
