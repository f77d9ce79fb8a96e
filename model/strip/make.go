package strip

import (
	"strconv"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// maker makes the strips of one bay.
type maker struct {
	geometry
	names *names
	bay   studio.Bay
	ruler Ruler
	// taken are the texts that stand on the bay already, each with what it means.
	taken map[string]string
}

// pieces are one strip, cut evenly where paper is too short for it. A cut lies
// between two columns.
func (m *maker) pieces(r rowed, paper measure.Length) []Strip {
	count := m.count(paper)
	var all []Strip
	for i := range count {
		first, last := i*m.pairs/count+1, (i+1)*m.pairs/count
		s := m.piece(r, first, last)
		s.Piece, s.Pieces = i+1, count
		if i+1 < count {
			s.Tab = Tab
		}
		all = append(all, s)
	}
	return all
}

// count is how many pieces there must be.
func (m *maker) count(paper measure.Length) int {
	if paper <= 0 {
		return 1
	}
	for count := 1; count < m.pairs; count++ {
		longest := measure.Length(0)
		for i := range count {
			left, right := m.edges(i*m.pairs/count+1, (i+1)*m.pairs/count)
			if i+1 < count {
				right += Tab
			}
			longest = max(longest, right-left)
		}
		if longest <= paper {
			return count
		}
	}
	return max(1, m.pairs)
}

// column is the one at a place from the left: from behind the bay is mirrored.
func (m *maker) column(place int) int {
	if m.mirrored {
		return m.pairs + 1 - place
	}
	return place
}

// edges are the ends of a piece of the whole strip, by places from the left.
func (m *maker) edges(first, last int) (left, right measure.Length) {
	left, right = m.left(first), m.right(last)
	return left, right
}

// left and right are the edges of a cell: half a pitch from its centre, but at the
// ends of the strip.
func (m *maker) left(place int) measure.Length {
	if place == 1 {
		return 0
	}
	return max(0, m.leadIn+measure.Length(place-1)*m.pitch-m.pitch/2)
}

func (m *maker) right(place int) measure.Length {
	whole := 2*m.leadIn + measure.Length(m.pairs-1)*m.pitch
	if place == m.pairs {
		return whole
	}
	return min(whole, m.leadIn+measure.Length(place-1)*m.pitch+m.pitch/2)
}

func (m *maker) piece(r rowed, first, last int) Strip {
	left, right := m.edges(first, last)
	s := Strip{Bay: m.bay.Name, Label: orName(m.bay.Label, m.bay.Name), Row: r.row, Length: right - left, Height: r.height, Runs: []Run{}, Cells: []Cell{}}
	for place := first; place <= last; place++ {
		column := m.column(place)
		c := Cell{
			Column: column, Jack: m.jack(r.row, column), Centre: m.centre(column) - left,
			Left: m.left(place) - left, Right: m.right(place) - left, Text: Text{Lines: []string{}},
		}
		if r.row == Above || r.row == Below {
			c.Caution = m.names.caution[c.Jack]
		}
		if r.row == Between {
			c.Mode = m.bay.Modes[column-1].String()
			c.Text = m.fitCell(c, r, label{full: strconv.Itoa(column)})
		}
		s.Cells = append(s.Cells, c)
	}
	switch r.row {
	case Above, Below:
		m.front(&s, r)
	case RearTop, RearBottom:
		m.rear(&s, r)
	case Between:
	}
	return s
}

func (m *maker) jack(row Row, column int) name.Point {
	switch row {
	case Below, RearBottom:
		return m.bay.BottomJack(column)
	case Above, RearTop, Between:
	}
	return m.bay.TopJack(column)
}

// OverPart is the height of what stands over the bar, in parts of the strip's.
const OverPart = 0.52

func (m *maker) fitCell(c Cell, r rowed, l label) Text {
	place := room{c.Right - c.Left, measure.Length(float64(r.height) * (1 - OverPart)), cellSize, true, m.ruler}
	if r.row == Between {
		// The number stands beside the sign.
		place = room{(c.Right - c.Left) / 2, r.height, smallest + 0.5, false, m.ruler}
	}
	switch c.Caution {
	case Phantom:
		place.size, place.width = cautionSize, place.width-cautionFrame
	case Loud:
		place.size, place.width = cautionSize, place.width-2*cautionFrame
	}
	return place.fit(l, "")
}

func (m *maker) fitOver(left, right measure.Length, r rowed, l label, tail string) Text {
	return room{right - left, measure.Length(float64(r.height) * OverPart), overSize, false, m.ruler}.fit(l, tail)
}
