package text

import (
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

func (r *wiringReader) readTies(n *node) {
	for _, item := range r.wholeItems(n) {
		if item.shape == mapping {
			if !r.tornLine(item, tieFields) {
				r.longTie(item)
			}
			continue
		}
		r.addTies(item, r.jackPairs(item, name.Tied, tieRole, jack, socket), studio.Run{})
	}
}

const tieRole = "a tie joins jacks"

// longTie reads {from: main/t41-44, to: far/t1-4, length: 12 m}.
func (r *wiringReader) longTie(n *node) {
	v := r.fields(n, tieFields)
	run := r.cables.run(v)
	if !v.has("from") || !v.has("to") {
		return
	}
	from, ok := r.hop(v.of["from"])
	to, ok2 := r.hop(v.of["to"])
	if !ok || !ok2 {
		return
	}
	left, ok := r.refer(v.of["from"], r.index, from, tieRole, jack, socket)
	right, ok2 := r.refer(v.of["to"], r.index, to, tieRole, jack, socket)
	if ok && ok2 {
		pairs, _ := r.match(v.of["to"], from, to, left, right)
		r.addTies(n, pairs, run)
	}
}

func (r *wiringReader) addTies(n *node, pairs [][2]name.Point, run studio.Run) {
	for _, p := range pairs {
		if p[0] == p[1] {
			r.fault(n, "duplicate", "", "%s is tied to itself", p[0])
			continue
		}
		r.studio.Ties = append(r.studio.Ties, studio.Tie{A: p[0], B: p[1], Run: run, Key: n.key})
	}
}

func (r *wiringReader) readNormals(n *node) {
	for _, item := range r.wholeItems(n) {
		for _, p := range r.jackPairs(item, name.Into, "a normal joins jacks of bays", jack) {
			if p[0] == p[1] {
				r.fault(item, "duplicate", "", "%s is its own normal", p[0])
				continue
			}
			r.studio.Normals = append(r.studio.Normals, studio.Normal{From: p[0], To: p[1], Key: item.key})
		}
	}
}

// jackPairs reads a line whose both sides are jacks.
func (r *wiringReader) jackPairs(n *node, o name.Operator, role string, wanted ...kind) [][2]name.Point {
	p, ok := r.pair(n, o)
	if !ok {
		return nil
	}
	left, ok := r.refer(n, r.index, p.Left, role, wanted...)
	right, ok2 := r.refer(n, r.index, p.Right, role, wanted...)
	if !ok || !ok2 {
		return nil
	}
	pairs, _ := r.match(n, p.Left, p.Right, left, right)
	return pairs
}

func (r *wiringReader) readMults(n *node) {
	for _, item := range n.all() {
		if item.shape != list {
			r.fault(item, "shape", "write [main/t45, main/b45, main/t46]", "%s stands here; each mult is a list of jacks", quoteText(item.text))
			continue
		}
		jacks, ok := r.points(item, r.index, "a mult joins jacks", jack, socket)
		if ok && len(jacks) < 2 {
			r.fault(item, "count", "", "a mult joins two jacks or more")
			continue
		}
		r.studio.Mults = append(r.studio.Mults, studio.Mult{Jacks: jacks, Key: item.key})
	}
}

// points reads a list of points and ranges. A point that stands twice is
// reported; ok is false after any problem.
func (r *reader) points(n *node, x *index, role string, wanted ...kind) (points []name.Point, ok bool) {
	ok = true
	first := map[name.Point]*node{}
	whole := r.wholeItems(n)
	if len(whole) != len(n.all()) {
		ok = false
	}
	for _, item := range whole {
		hop, good := r.hop(item)
		if !good {
			ok = false
			continue
		}
		found, good := r.refer(item, x, hop, role, wanted...)
		ok = ok && good
		for _, p := range found {
			if first[p] != nil {
				r.fault(item, "duplicate", "", "%s stands twice; it is in line %d already", p, first[p].place.Line)
				ok = false
				continue
			}
			first[p] = item
			points = append(points, p)
		}
	}
	return points, ok
}

const normalWord = "normal "

// readFaulty reads jacks, and normals by their pairs: normal main/5.
func (r *wiringReader) readFaulty(n *node) {
	seen := map[name.Point]*node{}
	once := func(item *node, p name.Point) bool {
		if seen[p] != nil {
			r.fault(item, "duplicate", "", "%s is tagged twice; it is in line %d already", p, seen[p].place.Line)
			return false
		}
		seen[p] = item
		return true
	}
	for _, item := range r.wholeItems(n) {
		if item.shape == scalar && strings.HasPrefix(item.text, normalWord) {
			for _, pair := range r.faultyNormal(item) {
				if once(item, name.At(pair.Owner, "", pair.Number)) {
					r.studio.FaultyNormals = append(r.studio.FaultyNormals, pair)
				}
			}
			continue
		}
		hop, ok := r.hop(item)
		if !ok {
			continue
		}
		jacks, _ := r.refer(item, r.index, hop, "jacks, or normals as normal main/5, are tagged faulty", jack, socket)
		for _, p := range jacks {
			if once(item, p) {
				r.studio.Faulty = append(r.studio.Faulty, p)
			}
		}
	}
}

// faultyNormal are the top jacks of the pairs that a scalar names.
func (r *wiringReader) faultyNormal(n *node) []name.Point {
	text := strings.TrimLeft(n.text[len(normalWord):], " ")
	at := len(n.text) - len(text)
	points, err := name.List(text)
	if e, ok := err.(*name.Error); ok {
		r.faultIn(n, at+e.At, "name", "", "%s", e.Message)
		return nil
	}
	var tops []name.Point
	for _, p := range points {
		b := r.index.bays[p.Owner]
		switch {
		case b == nil:
			r.faultIn(n, at, "unknown-name", maybe(p.Owner, r.index.owners()), "no bay is called %s", p.Owner)
			return nil
		case p.Stem != "" || p.Number == 0:
			r.faultIn(n, at, "name", phrase.Put("write normal {bay}/5", "bay", p.Owner), "%s is no pair; a normal is named by the number of its pair", p)
			return nil
		case p.Number > b.Pairs():
			r.faultIn(n, at, "unknown-name", "", "the bay %s has no pair %d; it has 1 to %d", b.Name, p.Number, b.Pairs())
			return nil
		}
		tops = append(tops, b.TopJack(p.Number))
	}
	return tops
}
