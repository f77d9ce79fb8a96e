// Package schedule is the cable schedule of a studio: what is made, of what, and
// which contact goes to which.
//
// Vocabulary: a cable is one jacket with a number; it has pairs, each of which is one
// wire or tie of the file; an end is what a pair is joined to there. A recipe is what
// is done with the cold leg, by what drives it and what takes it. A joint is one
// conductor soldered, pressed or screwed. Loudspeaker lines stand in a list of their
// own, since they never run beside signal cables.
//
// Everything is worked out from the studio alone: no file is read and nothing is
// printed. What is wrong with cables is package check's to find. Mains is not in the
// schedule.
package schedule

import (
	"slices"
	"strings"

	"bayhand/model/disjoint"
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Schedule is all cables of a studio.
type Schedule struct {
	Cables []Cable `json:"cables"`
	// Loudspeakers are lines at loudspeaker level.
	Loudspeakers []Cable `json:"loudspeakers"`
	Buy          Buy     `json:"buy"`
}

// Cable is one jacket.
type Cable struct {
	// Number is empty where it has none yet.
	Number string `json:"number"`
	Kind   string `json:"kind"`
	// Length is 0 where it is not known; Estimated where it was worked out.
	Length    measure.Length `json:"length"`
	Estimated bool           `json:"estimated"`
	Pairs     []Pair         `json:"pairs"`
}

// Pair is one wire or tie. The source's end of a tie is the left one of its line.
type Pair struct {
	Pair int `json:"pair"`
	// Core are the colours of its cores, hot then cold, in the codes of IEC 60757;
	// empty where its kind of cable does not say.
	Core string `json:"core"`
	From End    `json:"from"`
	To   End    `json:"to"`
	// Cold is carried, open or grounded, at the source's end; empty where it cannot be
	// decided. Because says why.
	Cold    string `json:"cold"`
	Shield  string `json:"shield"`
	Because string `json:"because"`
	// Key is its line of the file.
	Key string `json:"-"`
}

// End is one end of a pair: the plug on the cable, and the contacts of its legs.
type End struct {
	Point  name.Point `json:"point"`
	Label  string     `json:"label"`
	Plug   string     `json:"plug"`
	Gender string     `json:"gender"`
	Socket string     `json:"socket"`
	Hot    string     `json:"hot"`
	Cold   string     `json:"cold"`
	Shield string     `json:"shield"`
}

// Of makes the schedule of a studio. It takes time linear in the studio, beside
// sorting its cables.
func Of(s *studio.Studio) Schedule { return of(s, func(Cable) bool { return true }) }

// Only is the part of a studio's schedule that ends at one of its owners: a piece of
// gear, a bay, a box or a matrix.
func Only(s *studio.Studio, owner string) Schedule {
	return of(s, func(c Cable) bool {
		return slices.ContainsFunc(c.Pairs, func(p Pair) bool { return p.From.Point.Owner == owner || p.To.Point.Owner == owner })
	})
}

func of(s *studio.Studio, wanted func(Cable) bool) Schedule {
	m := newMaker(s)
	all := slices.DeleteFunc(m.cables(), func(c Cable) bool { return !wanted(c) })
	made := Schedule{Cables: []Cable{}, Loudspeakers: []Cable{}}
	for _, c := range all {
		if m.loud(c) {
			made.Loudspeakers = append(made.Loudspeakers, c)
			continue
		}
		made.Cables = append(made.Cables, c)
	}
	made.Buy = m.buy(all)
	return made
}

// loud says whether a cable carries a loudspeaker line.
func (m *maker) loud(c Cable) bool {
	return slices.ContainsFunc(c.Pairs, func(p Pair) bool { return m.loudEnd(p.From.Point) || m.loudEnd(p.To.Point) })
}

func (m *maker) loudEnd(p name.Point) bool {
	return m.ports[p].Line.Kind == studio.LoudspeakerLevel
}

// line is a wire or tie on its way into a cable.
type line struct {
	from, to name.Point
	run      studio.Run
	key      string
	tie      bool
}

// maker knows a studio by its points.
type maker struct {
	studio  *studio.Studio
	lengths *layout.Lengths
	kinds   map[string]studio.Cable
	ports   map[name.Point]studio.Port
	gear    map[string]studio.Gear
	bays    map[string]studio.Bay
	boxes   map[string]studio.Box
	matrix  map[string]studio.Matrix
	// held is which socket holds a point, and as which circuit of it.
	held  map[name.Point]circuit
	lines []line
	// source is what is wired to the rear of a jack and drives it.
	source map[name.Point]name.Point
}

type circuit struct {
	socket studio.Socket
	owner  string
	number int // from 1
}

func newMaker(s *studio.Studio) *maker {
	m := &maker{
		studio: s, lengths: layout.NewLengths(s), kinds: layout.Cables(s), ports: s.PortsByPoint(),
		gear: map[string]studio.Gear{}, bays: map[string]studio.Bay{}, boxes: map[string]studio.Box{}, matrix: map[string]studio.Matrix{},
		held: map[name.Point]circuit{}, source: map[name.Point]name.Point{},
	}
	hold := func(owner string, sockets []studio.Socket) {
		for _, socket := range sockets {
			for i, p := range socket.Ports {
				m.held[p] = circuit{socket, owner, i + 1}
			}
		}
	}
	for _, g := range s.Gear {
		m.gear[g.Name] = g
		hold(g.Name, g.Sockets)
	}
	for _, b := range s.Bays {
		m.bays[b.Name] = b
		hold(b.Name, b.Sockets)
	}
	for _, b := range s.Boxes {
		m.boxes[b.Name] = b
	}
	for _, x := range s.Matrices {
		m.matrix[x.Name] = x
	}
	for _, w := range s.Wires {
		if w.OfLine {
			continue // its cable is the tie
		}
		m.lines = append(m.lines, line{w.From, w.To, w.Run, w.Key, false})
		if _, jack := m.bays[w.To.Owner]; jack {
			m.source[w.To] = w.From
		}
	}
	for _, t := range s.Tied() {
		m.lines = append(m.lines, line{t.A, t.B, t.Run, t.Key, true})
	}
	return m
}

// cables are the lines grouped into jackets: by their number, by a socket that they
// share, or as the halves of an insert on one jack.
func (m *maker) cables() []Cable {
	groups := map[int][]int{}
	var order []int
	together := disjoint.New(len(m.lines))
	first := map[string]int{}
	for i, l := range m.lines {
		for _, key := range m.shared(l) {
			if at, had := first[key]; had {
				together.Join(at, i)
			} else {
				first[key] = i
			}
		}
	}
	for i := range m.lines {
		root := together.Root(i)
		if groups[root] == nil {
			order = append(order, root)
		}
		groups[root] = append(groups[root], i)
	}
	var all []Cable
	for _, root := range order {
		all = append(all, m.cable(groups[root]))
	}
	slices.SortStableFunc(all, func(a, b Cable) int { return compareNumbers(a.Number, b.Number) })
	return all
}

// compareNumbers puts cables with a number first, in the order of their numbers.
func compareNumbers(a, b string) int {
	switch {
	case a == b:
		return 0
	case a == "":
		return 1
	case b == "":
		return -1
	}
	return strings.Compare(a, b)
}

// shared are what puts a line into one jacket with others.
func (m *maker) shared(l line) []string {
	var keys []string
	if l.run.Cable != "" {
		return []string{"number " + l.run.Cable}
	}
	for _, p := range []name.Point{l.from, l.to} {
		if c, ok := m.held[p]; ok {
			keys = append(keys, "socket "+c.owner+" "+c.socket.Name)
		}
		if m.oneJack(p) {
			p.Part = name.Whole
			keys = append(keys, "insert "+p.String())
		}
	}
	return keys
}

// oneJack says whether a point is half of an insert on one jack: its gear says what
// the tip carries, or its plug has three contacts for both halves.
func (m *maker) oneJack(p name.Point) bool {
	if p.Part == name.Whole {
		return false
	}
	return m.gear[p.Owner].InsertTip != name.Whole || strings.EqualFold(m.ports[p].Line.Plug, "trs")
}

func (m *maker) cable(lines []int) Cable {
	slices.SortStableFunc(lines, func(a, b int) int { return m.place(a) - m.place(b) })
	c := Cable{Pairs: []Pair{}}
	for i, at := range lines {
		l := m.lines[at]
		c.Number = l.run.Cable
		if l.run.Kind != "" && c.Kind == "" {
			c.Kind = l.run.Kind
		}
		c.Pairs = append(c.Pairs, m.pair(i+1, l))
	}
	if c.Kind == "" {
		c.Kind = m.kind(len(lines))
	}
	for i, cores := range m.kinds[c.Kind].Colours {
		if i < len(c.Pairs) {
			c.Pairs[i].Core = cores
		}
	}
	for _, at := range lines {
		l := m.lines[at]
		l.run.Kind = c.Kind
		if length, estimated, ok := m.lengths.Length(l.run, l.from, l.to); ok && length > c.Length {
			c.Length, c.Estimated = length, estimated
		}
	}
	return c
}

// place is the circuit of a line in its socket, so that pairs stand in pin order.
func (m *maker) place(at int) int {
	l := m.lines[at]
	if c, ok := m.held[l.from]; ok {
		return c.number
	}
	return m.held[l.to].number
}

// kind is the one with the fewest pairs that holds as many; empty where none does.
func (m *maker) kind(pairs int) string {
	best := ""
	for _, c := range append(studio.BuiltInCables(), m.studio.Cables...) {
		c = m.kinds[c.Name]
		if c.Pairs < pairs || c.Name == "coax" || c.Name == "cord" {
			continue
		}
		if best == "" || c.Pairs < m.kinds[best].Pairs {
			best = c.Name
		}
	}
	return best
}
