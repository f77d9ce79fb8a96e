package arrange

import (
	"cmp"
	"fmt"
	"slices"

	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// Cords are how many of a length the worst session needs; the length is 0 where they are
// longer than cords that are to be had.
type Cords struct {
	Length measure.Length `json:"length"`
	Count  int            `json:"count"`
}

// String is for a person: "6 cords of 30 cm".
func (c Cords) String() string {
	if c.Length > 0 {
		return phrase.Count(c.Count, "1 cord of {length}", "{n} cords of {length}", "length", c.Length.String())
	}
	return phrase.Count(c.Count, "1 cord longer than {length}", "{n} cords longer than {length}", "length", made[len(made)-1].String())
}

// made are the lengths of cord that are to be had (common practice, no published
// source).
var made = []measure.Length{
	30 * measure.Centimetre, 60 * measure.Centimetre, 90 * measure.Centimetre, 120 * measure.Centimetre,
	180 * measure.Centimetre, 240 * measure.Centimetre, 300 * measure.Centimetre,
}

// toOwn are the cords and dummies that the worst session has in, length by length.
// Where the studio does not say what it owns, each cord is the shortest of those that
// are to be had and reach.
func toOwn(s *studio.Studio, plans []*plan.Plan) (cords []Cords, dummies int) {
	worst := map[measure.Length]int{}
	for _, p := range plans {
		one := map[measure.Length]int{}
		for _, c := range p.Target.Cords {
			length := c.Length
			if length == 0 {
				length = shortest(s, c.A, c.B)
			}
			one[length]++
		}
		for length, count := range one {
			worst[length] = max(worst[length], count)
		}
		dummies = max(dummies, len(p.Target.Dummies))
	}
	cords = []Cords{}
	for length, count := range worst {
		cords = append(cords, Cords{length, count})
	}
	slices.SortFunc(cords, func(x, y Cords) int { return cmp.Compare(x.Length, y.Length) })
	return cords, dummies
}

// shortest is the length of cord that reaches between two jacks; 0 where none does.
func shortest(s *studio.Studio, a, b name.Point) measure.Length {
	for _, length := range made {
		if layout.Reaches(s, a, b, length) {
			return length
		}
	}
	return 0
}

// Blanks are the columns to which nothing is wired, and how many are wished for.
type Blanks struct {
	Count   int    `json:"count"`
	Wished  int    `json:"wished"`
	Because string `json:"because"`
}

// blanks counts those columns: one in eight is the trade's tenth to a seventh (common
// practice, no published source).
func (l *Layout) blanks() Blanks {
	c := l.columns
	b := Blanks{Wished: (len(c.top) + 7) / 8}
	for n := range c.top {
		if c.top[n] == none && c.bottom[n] == none && !l.multColumns[n] {
			b.Count++
		}
	}
	switch {
	case b.Count >= b.Wished:
		b.Because = fmt.Sprintf("one column in eight, %d of %d, is for gear that is still to come", b.Wished, len(c.top))
	case b.Count == 0:
		b.Because = "the bays are too small for the gear that there is; nothing can be left for what comes"
	default:
		b.Because = fmt.Sprintf("one column in eight would be %d of %d; the next unit of gear finds little room", b.Wished, len(c.top))
	}
	return b
}

// Unplaced is a port for which there was no room.
type Unplaced struct {
	Port    name.Point `json:"port"`
	Because string     `json:"because"`
}

// unplaced are the ports for which there was no room, with what their gear is worth
// on the bays.
func (l *Layout) unplaced() []Unplaced {
	all := []Unplaced{}
	for _, p := range l.left {
		gear := p.point.Owner
		if p.straight {
			all = append(all, Unplaced{p.point, "microphone lines have no bay of their own, and phantom power does not belong on one that carries lines; no session asks for it"})
			continue
		}
		if l.columns.room.walled && p.place != 0 {
			all = append(all, Unplaced{p.point, fmt.Sprintf(
				"there are too few columns in its room, no cable goes through a wall, and of all gear there %s is worth the least: the sessions ask for it %s", gear, times(l.asked[gear]))})
			continue
		}
		all = append(all, Unplaced{p.point, fmt.Sprintf(
			"there are too few columns, and of all gear %s is worth the least for those that it takes: the sessions ask for it %s", gear, times(l.asked[gear]))})
	}
	return all
}

func times(n int) string {
	switch n {
	case 0:
		return "never"
	case 1:
		return "once"
	}
	return fmt.Sprintf("%d times by their weights", n)
}
