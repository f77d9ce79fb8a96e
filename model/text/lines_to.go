package text

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// lineToReader reads {live: {tie1: main/b8}}: ties by which one room lends another a
// signal. Ties and rooms are known by then.
type lineToReader struct {
	*reader
	file *studioReader
}

func (r *lineToReader) read(n *node) {
	var rooms []string
	for _, room := range r.file.studio.Rooms {
		rooms = append(rooms, room.Name)
	}
	for _, e := range n.eachEntry() {
		switch room := e.key.text; {
		case !slices.Contains(rooms, room):
			r.fault(e.key, "unknown-name", maybe(room, rooms), "no room is called %s under rooms:", quoteText(room))
		case e.value.shape != mapping:
			r.fault(e.value, "shape", phrase.Put("write {room}: {{line}: main/b8}", "room", room, "line", "tie1"), "%s stands here; lines to a room are a mapping of names to jacks", e.value.shape)
		default:
			r.file.records(e.value, func(key, value *node) { r.line(room, key, value) })
		}
	}
}

// line reads one name with its jacks, in the short form or the long one.
func (r *lineToReader) line(room string, key, value *node) {
	if !r.file.own(key) {
		return
	}
	at, kind := value, r.file.lines.named["pro-line"]
	gear := studio.Gear{Name: key.text, NoTest: true} // a test sound would be heard in the other room
	if value.shape == mapping {
		v := r.fields(value, lineToFields)
		gear.Label, gear.Short = v.text("label"), v.text("short")
		if line := v.of["line"]; line != nil {
			kind = r.file.lines.line(line)
		}
		if at = v.of["at"]; at == nil {
			return
		}
	}
	hop, ok := r.hop(at)
	if !ok {
		return
	}
	jacks, ok := r.refer(at, r.file.index, hop, "a line to a room begins at a jack with a tie", jack, socket)
	if !ok {
		return
	}
	for i, p := range jacks {
		tie, ok := r.tie(at, p, room)
		if !ok {
			return
		}
		number := i + 1
		if len(jacks) == 1 {
			number = 0
		}
		in, out := name.At(gear.Name, "in", number), name.At(gear.Name, "out", number)
		r.add(studio.LineTo{Name: gear.Name, Room: room, From: tie.A, To: tie.B, Run: tie.Run, Key: value.key}, in, out)
		gear.Ports = append(gear.Ports, studio.Port{Point: in, Direction: studio.Input, Line: lent(kind)}, studio.Port{Point: out, Direction: studio.Output, Line: kind})
		gear.Passes = append(gear.Passes, studio.Pass{In: in, Out: out})
	}
	r.places.set("gear."+gear.Name, r.placeOf(value))
	r.file.studio.Gear = append(r.file.studio.Gear, gear)
	r.file.index.addGear(&gear)
}

// lent is a kind of line at the end where a signal goes in: what a microphone is lent to
// may feed it phantom power, which comes through the line.
func lent(kind studio.Line) studio.Line {
	kind.Phantom = kind.Phantom || kind.Kind == studio.MicLevel
	return kind
}

// tie is the one at a jack that arrives in a room, with that jack first. It must come from
// another room.
func (r *lineToReader) tie(n *node, p name.Point, room string) (studio.Tie, bool) {
	var at []studio.Tie
	for _, t := range r.file.studio.Ties {
		switch p {
		case t.A:
			at = append(at, t)
		case t.B:
			at = append(at, studio.Tie{A: t.B, B: t.A, Run: t.Run.Turned(), Key: t.Key})
		}
	}
	if len(at) != 1 {
		r.untied(n, p, len(at))
		return studio.Tie{}, false
	}
	near, far := r.roomOf(at[0].A), r.roomOf(at[0].B)
	switch {
	case near == room:
		r.fault(n, "line-to", "name the jack of the other room where the line begins", "%s is in the room %s itself; a line to a room begins in another one", p, room)
	case far != room:
		r.fault(n, "line-to", "", "the tie %s = %s arrives in %s, not in the room %s", at[0].A, at[0].B, orNoRoom(far), room)
	case near == "":
		r.fault(n, "line-to", phrase.Put("write {bay} into one of the rooms:", "bay", p.Owner), "%s is in no room; a line to a room begins in another one", p)
	default:
		return at[0], true
	}
	return studio.Tie{}, false
}

// untied says of a jack that it has no tie of its own, or several.
func (r *lineToReader) untied(n *node, p name.Point, ties int) {
	for _, l := range r.file.studio.LinesTo {
		if p == l.From || p == l.To {
			r.fault(n, "duplicate", "take one of them out", "the tie at %s is the line %s already", p, l.Name)
			return
		}
	}
	if ties == 0 {
		r.fault(n, "line-to", phrase.Put("write {jack} = and the jack at its other end under ties:", "jack", p.String()), "%s has no tie; a line to a room is one that stands under ties:", p)
		return
	}
	r.fault(n, "line-to", "", "%s has %d ties; a line to a room is one tie between two jacks", p, ties)
}

func (r *lineToReader) roomOf(p name.Point) string {
	for _, room := range r.file.studio.Rooms {
		if slices.Contains(room.Parts, p.Owner) {
			return room.Name
		}
	}
	return ""
}

func orNoRoom(room string) string {
	if room == "" {
		return "no room"
	}
	return phrase.Put("the room {room}", "room", room)
}

// add takes a tie out of those that plans may use, and wires the ends of the line.
func (r *lineToReader) add(l studio.LineTo, in, out name.Point) {
	s := r.file.studio
	s.Ties = slices.DeleteFunc(s.Ties, func(t studio.Tie) bool {
		return t.A == l.From && t.B == l.To || t.A == l.To && t.B == l.From
	})
	s.LinesTo = append(s.LinesTo, l)
	s.Wires = append(s.Wires,
		studio.Wire{From: l.From, To: in, Run: l.Run, OfLine: true, Key: l.Key},
		studio.Wire{From: out, To: l.To, Run: l.Run, OfLine: true, Key: l.Key})
	r.file.index.wires = s.Wires
}
