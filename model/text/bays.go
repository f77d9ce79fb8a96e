package text

import (
	"slices"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// bayReader reads passive bays.
type bayReader struct {
	*reader
	file *studioReader
}

func (r *bayReader) read(n *node) {
	r.file.records(n, func(key, value *node) {
		if !r.file.own(key) {
			return
		}
		v := r.fields(value, bayFields)
		b := studio.Bay{Name: key.text, Label: v.text("label")}
		if pairs, ok := r.pairs(v); ok {
			r.spend(key, 2*pairs)
			b.Modes = make([]studio.Mode, pairs)
			r.modes(v.of["modes"], b.Modes)
		}
		b.Rows = r.rows(v)
		r.rearOf(v, &b)
		if word := v.word("jack"); word != "" {
			b.Jack = jackNamed(word)
		}
		b.Ground = groundNamed(v.word("ground"))
		b.At = r.file.place(v.of["at"], placeFields, "a bay is mounted")
		b.Pitch = r.positive(v, "pitch")
		r.file.studio.Bays = append(r.file.studio.Bays, b)
	})
}

// positive is a length over 0; 0 where the file does not say.
func (r *reader) positive(v values, key string) measure.Length {
	length := measured(v, key, measure.ParseLength, 0)
	if v.has(key) && length <= 0 {
		if _, err := measure.ParseLength(v.text(key)); err == nil {
			r.fault(v.of[key], "quantity", "", "%s stands here; the length is more than 0 cm", quoteText(v.text(key)))
		}
		return 0
	}
	return length
}

// pairs is the number of columns, given as pairs or as points.
func (r *bayReader) pairs(v values) (int, bool) {
	pairs, points := v.number("pairs", 0), v.number("points", 0)
	switch {
	case v.has("pairs") && v.has("points"):
		r.report(r.placeOf(v.of["points"]), "twice", "take one of them out", "pairs and points stand here; each says the size of the bay")
	case v.node.field("pairs") == nil && v.node.field("points") == nil:
		r.report(r.placeOf(v.node), "missing", "write pairs: 48, or points: 96", "a bay needs the key pairs or points")
	case points%2 != 0:
		r.fault(v.of["points"], "number", "", "%d points are no whole number of pairs; each pair has two", points)
	}
	return pairs + points/2, pairs > 0 || points > 0
}

func (r *bayReader) rows(v values) (rows [2]string) {
	n := v.of["rows"]
	if n == nil {
		return rows
	}
	texts := v.texts("rows")
	if len(texts) != 2 || texts[0] == texts[1] {
		r.fault(n, "rows", "write [a, b]", "rows are two different names, the upper row first")
		return rows
	}
	for i, text := range texts {
		point, err := name.Parse("bay/" + text)
		if err != nil || point.Number != 0 || point.Part != name.Whole {
			r.fault(n.items[i], "rows", "", "%s stands here; a row's name is of lower case letters and hyphens", quoteText(text))
			return rows
		}
	}
	if texts[0] == studio.Bottom || texts[1] == studio.Top {
		r.fault(n, "rows", "give the rows other names", "in files t is the upper row of every bay and b the lower")
		return rows
	}
	return [2]string(texts)
}

func jackNamed(word string) studio.Jack {
	for _, j := range []studio.Jack{studio.Bantam, studio.QuarterInch, studio.LongFrame} {
		if j.String() == word {
			return j
		}
	}
	return studio.JackUnknown
}

func groundNamed(word string) studio.Ground {
	for _, g := range []studio.Ground{studio.Separate, studio.Bussed, studio.Strapped} {
		if g.String() == word {
			return g
		}
	}
	return studio.GroundUnsaid
}

// place reads {rack, unit} or {x, y}; stands says of what, such as "a bay is mounted".
func (r *studioReader) place(n *node, t Table, stands string) studio.Place {
	if n == nil {
		return studio.Place{}
	}
	v := r.fields(n, t)
	inRack, free := v.has("rack") || v.has("unit"), v.has("x") || v.has("y")
	switch {
	case inRack && free, inRack && !(v.has("rack") && v.has("unit")), free && !(v.has("x") && v.has("y")), !inRack && !free:
		r.report(r.placeOf(n), "place", "write {rack: left, unit: 20} or {x: 0 cm, y: 120 cm}", "%s in a rack at a unit, or at x and y", stands)
		return studio.Place{}
	case inRack:
		r.knownRack(v.of["rack"])
		return studio.Place{Said: true, Rack: v.text("rack"), Unit: v.number("unit", 1)}
	}
	return studio.Place{Said: true, X: measured(v, "x", measure.ParseLength, 0), Y: measured(v, "y", measure.ParseLength, 0)}
}

// knownRack: where racks are listed, a rack that is named is one of them.
func (r *studioReader) knownRack(n *node) {
	var names []string
	for _, rack := range r.studio.Racks {
		names = append(names, rack.Name)
	}
	if len(names) > 0 && !slices.Contains(names, n.text) {
		r.fault(n, "unknown-name", maybe(n.text, names), "no rack is called %s; there are %s", quoteText(n.text), oneOf(names))
	}
}
