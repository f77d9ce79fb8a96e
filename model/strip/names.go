package strip

import (
	"strconv"
	"strings"

	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// label is a text with the short form that a file has for it, and where one would
// be written.
type label struct {
	full, short, write string
}

// content is what stands in one cell, and over it. The cells of a run have the same
// over and tail.
type content struct {
	// owner is what the run is named by, tail what is never cut: in, out.
	owner label
	tail  string
	cell  label
	// at is what is behind the jack; a run counts it on.
	at name.Point
	// stereo is true for the first of two that belong together.
	stereo bool
}

// names knows what is behind each jack.
type names struct {
	owners map[string]label
	ports  map[name.Point]studio.Port
	// counts are how many ports an owner has of one stem and part.
	counts  map[name.Point]int
	behind  map[name.Point]name.Point
	ties    map[name.Point]bool
	cables  map[name.Point]string
	mults   map[name.Point]int
	bays    map[string]studio.Bay
	lines   map[name.Point]string
	caution map[name.Point]Caution
}

func namesOf(s *studio.Studio, in *session.Session) *names {
	n := &names{
		owners: map[string]label{}, ports: s.PortsByPoint(), counts: map[name.Point]int{},
		behind: map[name.Point]name.Point{}, ties: map[name.Point]bool{}, cables: map[name.Point]string{},
		mults: map[name.Point]int{}, bays: map[string]studio.Bay{}, lines: map[name.Point]string{},
	}
	for _, g := range s.Gear {
		n.owners[g.Name] = label{orName(g.Label, g.Name), g.Short, "gear " + g.Name}
		for _, p := range g.Ports {
			n.counts[unnumbered(p.Point)]++
		}
	}
	for _, b := range s.Bays {
		n.owners[b.Name] = label{orName(b.Label, b.Name), b.Short, "bay " + b.Name}
		n.bays[b.Name] = b
	}
	for _, b := range s.Boxes {
		n.owners[b.Name] = label{full: orName(b.Label, b.Name)}
	}
	for _, m := range s.Matrices {
		n.owners[m.Name] = label{full: orName(m.Label, m.Name)}
	}
	n.wire(s)
	n.caution = cautions(s)
	if in != nil {
		for _, w := range in.Wants {
			n.line(w.Source, w.Label)
			n.line(w.Destination, w.Label)
		}
	}
	return n
}

func (n *names) line(p name.Point, label string) {
	if n.lines[p] == "" && label != "" {
		n.lines[p] = clean(label)
	}
}

func orName(label, name string) string {
	if label == "" {
		return name
	}
	return clean(label)
}

// clean is a text in one line.
func clean(text string) string { return strings.Join(strings.Fields(text), " ") }

func unnumbered(p name.Point) name.Point {
	p.Number = 0
	return p
}

func (n *names) wire(s *studio.Studio) {
	lay := func(jack, far name.Point, cable string) {
		if _, is := n.bays[jack.Owner]; !is {
			return
		}
		if _, had := n.behind[jack]; !had {
			n.behind[jack] = far
		}
		if n.cables[jack] == "" {
			n.cables[jack] = clean(cable)
		}
	}
	for _, w := range s.Wires {
		lay(w.From, w.To, w.Run.Cable)
		lay(w.To, w.From, w.Run.Cable)
	}
	for _, t := range s.Ties {
		lay(t.A, t.B, t.Run.Cable)
		lay(t.B, t.A, t.Run.Cable)
		n.ties[t.A], n.ties[t.B] = true, true
	}
	for i, m := range s.Mults {
		for _, jack := range m.Jacks {
			n.mults[jack] = i + 1
		}
	}
}

// of is what stands at a jack; false where nothing is behind it.
func (n *names) of(jack name.Point) (content, bool) {
	at, wired := n.behind[jack]
	switch {
	case wired:
		c := n.wired(at)
		c.tail = joined(c.tail, n.caution[jack].word())
		return c, true
	case n.mult(jack) > 0:
		letter := n.mult(jack)
		return content{owner: label{full: "mult"}, cell: label{full: letters(letter)}, at: name.At("", "mult", 0)}, true
	case n.parallel(jack):
		return content{owner: label{full: "parallel"}, at: name.At("", "parallel", 0)}, true
	}
	return content{}, false
}

// mult is the number of the mult that a jack is part of, itself or by its parallel
// pair; 0 for none.
func (n *names) mult(jack name.Point) int {
	if m := n.mults[jack]; m > 0 || !n.parallel(jack) {
		return m
	}
	return n.mults[studio.OtherJack(jack)]
}

func (n *names) parallel(jack name.Point) bool {
	modes := n.bays[jack.Owner].Modes
	return modes[jack.Number-1] == studio.Parallel
}

// letters counts A, B, ... Z, AA.
func letters(n int) string {
	text := ""
	for ; n > 0; n = (n - 1) / 26 {
		text = string(rune('A'+(n-1)%26)) + text
	}
	return text
}

// wired names a port, a jack of another bay or a socket.
func (n *names) wired(at name.Point) content {
	c := content{owner: n.owners[at.Owner], at: at}
	if bay, is := n.bays[at.Owner]; is {
		c.tail = row(bay, at.Stem)
		c.cell = label{full: strconv.Itoa(at.Number)}
		return c
	}
	port := n.ports[at]
	c.tail = tail(at)
	switch {
	case port.Label != "":
		if at.Number == 0 {
			c.tail = "" // the label says it
		}
		c.cell = label{lessTail(clean(port.Label), c.tail), port.Short, "port " + at.String()}
	case port.Short != "":
		c.cell = label{full: port.Short}
	case at.Number > 0:
		c.cell = label{full: strconv.Itoa(at.Number)}
	}
	c.stereo = n.counts[unnumbered(at)] == 2 && at.Number%2 == 1
	if line := n.lines[at]; line != "" {
		c.cell = label{full: line}
	}
	return c
}

// lessTail is a label without what stands over it already: of "mix L" under "mix" L is
// left.
func lessTail(text, tail string) string {
	if rest, ok := strings.CutPrefix(text, tail+" "); ok && tail != "" {
		return rest
	}
	return text
}

// tail is what a port is beside its number: in, out, insert send.
func tail(p name.Point) string {
	stem := strings.ReplaceAll(p.Stem, "-", " ")
	if p.Part != name.Whole {
		return strings.TrimSpace(strings.TrimPrefix(stem, "ins") + " " + strings.TrimPrefix(p.Part.String(), "."))
	}
	return stem
}

// row is what a bay calls its upper or lower row.
func row(b studio.Bay, stem string) string {
	if stem == studio.Top {
		return orName(b.Rows[0], "top")
	}
	return orName(b.Rows[1], "bottom")
}
