package text

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"bayhand/model/name"
	"bayhand/model/phrase"
)

// refer looks up the points of a hop that stands in a scalar. Every one that
// does not exist, or is not of a wanted kind, is reported at its place; ok is
// false then. The role is a sentence that says what is wanted.
func (r *reader) refer(n *node, x *index, h name.Hop, role string, wanted ...kind) (points []name.Point, ok bool) {
	for _, p := range h.Points {
		q, k, l := x.find(p)
		if l != nil && x.broken[p.Owner] {
			return nil, false
		}
		if l != nil {
			r.faultIn(n, h.At, "unknown-name", l.hint, "%s", l.message)
			return nil, false
		}
		if !slices.Contains(wanted, k) {
			r.faultIn(n, h.At, "direction", x.instead(q, k, wanted), "%s is %s; %s", q, k, role)
			return nil, false
		}
		points = append(points, q)
	}
	return points, true
}

// instead says what to write for a point of the wrong kind: for a jack or a
// matrix port, the gear that is wired to it.
func (x *index) instead(p name.Point, k kind, wanted []kind) string {
	if k != jack && k != socket && k != matrixInput && k != matrixOutput {
		return ""
	}
	for _, w := range x.wires {
		other := w.From
		switch p {
		case w.From:
			other = w.To
		case w.To:
		default:
			continue
		}
		if port, ok := x.ports[other]; ok && slices.Contains(wanted, portKind(port)) {
			return phrase.Put("what is wired to it is {port}", "port", other.String())
		}
	}
	return ""
}

// hop reads a scalar that holds the points of one word, such as main/t1-4.
func (r *reader) hop(n *node) (name.Hop, bool) {
	if !r.isText(n) {
		return name.Hop{}, false
	}
	points, err := name.List(n.text)
	if err != nil {
		r.nameFault(n, err)
		return name.Hop{}, false
	}
	r.spend(n, len(points))
	return name.Hop{Text: n.text, Points: points}, true
}

// pair reads a scalar that holds two sides and an operator.
func (r *reader) pair(n *node, allowed ...name.Operator) (name.Pair, bool) {
	if !r.isText(n) {
		return name.Pair{}, false
	}
	p, err := name.ParsePair(n.text, allowed...)
	if err != nil {
		r.nameFault(n, err)
		return p, false
	}
	return p, true
}

// nameFault says what is wrong with a name that stands somewhere in a scalar, and how it would be
// written.
func (r *reader) nameFault(n *node, err error) {
	if e, ok := err.(*name.Error); ok {
		r.misnamed(n, e, cmp.Or(asPort(n.text), asPort(placeAt(n.text, e.At))))
		return
	}
	r.fault(n, "name", "", "%s", err.Error())
}

// misnamed says the same of a name that would be written so; empty where nobody can tell.
func (r *reader) misnamed(n *node, e *name.Error, legal string) {
	hint := n.goesOn()
	if hint == "" && legal != "" {
		hint = phrase.Put("write {names}", "names", legal)
	}
	r.faultIn(n, e.At, "name", hint, "%s", e.Message)
}

// placeAt is the place in a line of connections that a character of it, counted from 0, is in;
// empty where the word there has no slash.
func placeAt(line string, at int) string {
	apart := func(r rune) bool { return unicode.IsSpace(r) || r == '[' || r == ']' }
	all := []rune(line)
	at = min(at, len(all))
	from, to := at, at
	for from > 0 && !apart(all[from-1]) {
		from--
	}
	for to < len(all) && !apart(all[to]) {
		to++
	}
	if word := string(all[from:to]); strings.Contains(word, "/") {
		return strings.TrimRight(word, ",")
	}
	return ""
}

// goesOn is what to look for where a text is not all on its line.
func (n *node) goesOn() string {
	if n.quoted || n.inner > 0 || !strings.Contains(n.text, " ") {
		return ""
	}
	return "this text goes on in the line below; each line of a list begins with -"
}

// match pairs the points of both sides: as many on each, or one on the left for
// all on the right. Never many to one: that would join outputs.
func (r *reader) match(n *node, left, right name.Hop, l, rt []name.Point) ([][2]name.Point, bool) {
	r.spend(n, len(l)+len(rt))
	var pairs [][2]name.Point
	switch {
	case len(l) == len(rt):
		for i := range l {
			pairs = append(pairs, [2]name.Point{l[i], rt[i]})
		}
	case len(l) == 1:
		for i := range rt {
			pairs = append(pairs, [2]name.Point{l[0], rt[i]})
		}
	case len(rt) == 1:
		r.faultIn(n, left.At, "count", manyToOne(l), "%s stands for %d points and %s for one; that would join what comes together there", left.Text, len(l), right.Text)
	default:
		r.faultIn(n, right.At, "count", "", "%s stands for %d points and %s for %d; both sides have the same count, or the left has one", left.Text, len(l), right.Text, len(rt))
	}
	return pairs, pairs != nil
}

// manyToOne is what to do where several points are to end in one.
func manyToOne(left []name.Point) string {
	return phrase.Put("write one of them, such as {point}, in a line of its own, or as many on the right", "point", left[0].String())
}
