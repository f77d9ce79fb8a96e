package strip

import (
	"strconv"
	"strings"
)

// front fills a strip of the front: what is behind each jack.
func (m *maker) front(s *Strip, r rowed) {
	for i := 0; i < len(s.Cells); {
		c, ok := m.names.of(s.Cells[i].Jack)
		if !ok {
			i++
			continue
		}
		last := m.runEnd(s, i, c)
		m.run(s, r, c, i, last)
		i = last + 1
	}
}

// runEnd is the last cell that has the same owner and tail behind it.
func (m *maker) runEnd(s *Strip, first int, c content) int {
	last := first
	for last+1 < len(s.Cells) {
		next, ok := m.names.of(s.Cells[last+1].Jack)
		if !ok || next.at.Owner != c.at.Owner || next.tail != c.tail || next.at.Part != c.at.Part || next.owner.full != c.owner.full {
			break
		}
		last++
	}
	return last
}

// run sets the name over a run, and its cells.
func (m *maker) run(s *Strip, r rowed, c content, first, last int) {
	over := Run{First: s.Cells[first].Column, Last: s.Cells[last].Column, Left: s.Cells[first].Left, Right: s.Cells[last].Right}
	over.Text = m.fitOver(over.Left, over.Right, r, c.owner, c.tail)
	for i := first; i <= last; i++ {
		here, _ := m.names.of(s.Cells[i].Jack)
		s.Cells[i].Text = m.fitCell(s.Cells[i], r, here.cell)
		if i < last {
			next, _ := m.names.of(s.Cells[i+1].Jack)
			s.Cells[i].Stereo = here.stereo && next.at.Number == here.at.Number+1
		}
	}
	m.tellApart(&over, s, r, c, first, last)
	s.Runs = append(s.Runs, over)
}

// tellApart sees to it that no two jacks of the bay read the same. Where a cut made
// them alike the run is numbered; the same jack may read the same in two pieces.
func (m *maker) tellApart(over *Run, s *Strip, r rowed, c content, first, last int) {
	for try := 2; try < 100; try++ {
		if !m.alike(over, s, first, last) {
			break
		}
		// As much of the name as leaves room for a number.
		number := strconv.Itoa(try)
		l := c.owner
		l.full, l.short = joined(l.full, c.tail), ""
		over.Text = m.fitOver(over.Left, over.Right, r, l, number)
		over.Text.Full = joined(c.owner.full, c.tail)
		over.Text.Alike, over.Text.Write = true, c.owner.write
	}
	for i := first; i <= last; i++ {
		m.taken[reading(*over, s.Cells[i])] = s.Cells[i].Jack.String()
	}
}

func (m *maker) alike(over *Run, s *Strip, first, last int) bool {
	if c, _ := m.names.of(s.Cells[first].Jack); c.at.Owner == "" {
		return false // jacks that are joined read the same, and are
	}
	for i := first; i <= last; i++ {
		if other, had := m.taken[reading(*over, s.Cells[i])]; had && other != s.Cells[i].Jack.String() {
			return true
		}
	}
	return false
}

// reading is what a person reads at a jack.
func reading(over Run, c Cell) string {
	return strings.ToLower(strings.Join(over.Text.Lines, " ") + " | " + strings.Join(c.Text.Lines, " "))
}

// rear fills a strip of the rear: the number of each column, and over it the number
// of the cable, or what it leads to where the cable has none.
func (m *maker) rear(s *Strip, r rowed) {
	for i := 0; i < len(s.Cells); {
		s.Cells[i].Text = m.fitCell(s.Cells[i], r, label{full: strconv.Itoa(s.Cells[i].Column)})
		l, tail, ok := m.behind(s, i)
		last := i
		for ok && last+1 < len(s.Cells) {
			next, nextTail, again := m.behind(s, last+1)
			if !again || next != l || nextTail != tail {
				break
			}
			last++
			s.Cells[last].Text = m.fitCell(s.Cells[last], r, label{full: strconv.Itoa(s.Cells[last].Column)})
		}
		if ok {
			over := Run{First: s.Cells[i].Column, Last: s.Cells[last].Column, Left: s.Cells[i].Left, Right: s.Cells[last].Right}
			over.Text = m.fitOver(over.Left, over.Right, r, l, tail)
			s.Runs = append(s.Runs, over)
		}
		i = last + 1
	}
}

func (m *maker) behind(s *Strip, i int) (l label, tail string, ok bool) {
	jack := s.Cells[i].Jack
	if cable := m.names.cables[jack]; cable != "" {
		return label{full: cable}, "", true
	}
	c, ok := m.names.of(jack)
	return c.owner, c.tail, ok
}
