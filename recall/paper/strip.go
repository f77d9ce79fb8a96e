package paper

import (
	"bayhand/model/strip"
	"bayhand/model/studio"
)

// Lines of a strip in millimetres: the one to cut along, the one between cells, the
// bar under a name, and the frame of a caution.
const (
	hairline   = 0.15
	divider    = 0.2
	barLine    = 0.35
	heavyFrame = 0.6
	// overPart is how much of a strip stands over the bar.
	overPart = float64(strip.OverPart)
	// capitals is the height of capitals in parts of a size.
	capitals = 0.72
)

// drawStrip draws one piece of a strip. What lies outside of it are marks to cut by.
func drawStrip(c canvas, s strip.Strip) {
	length, height := millimetres(s.Length), millimetres(s.Height)
	c.frame(0, 0, length, height, hairline)
	cutMarks(c, s)
	if s.Row == strip.Between {
		drawSigns(c, s, height)
		return
	}
	drawNames(c, s, height)
}

// drawNames draws what stands over the bars, and the cells beneath.
func drawNames(c canvas, s strip.Strip, height float64) {
	for _, r := range s.Runs {
		left, right := millimetres(r.Left), millimetres(r.Right)
		setText(c, (left+right)/2, 0, height*overPart, r.Text)
		c.line(left+0.3, height*overPart, right-0.3, height*overPart, barLine)
		if r.Left > 0 {
			c.line(left, 0.6, left, height-0.6, divider)
		}
		if r.Right < s.Length {
			c.line(right, 0.6, right, height-0.6, divider)
		}
	}
	for i, cell := range s.Cells {
		drawCell(c, s, i, cell, height)
	}
}

func drawCell(c canvas, s strip.Strip, i int, cell strip.Cell, height float64) {
	top := height * overPart
	left, right := millimetres(cell.Left), millimetres(cell.Right)
	if cell.Caution != "" {
		c.frame(left+0.2, top, right-left-0.4, height-top-0.2, heavyFrame)
	}
	if cell.Caution == strip.Loud {
		sides(c, left+0.2, right-0.2, top, height-0.2)
	}
	setText(c, millimetres(cell.Centre), top, height-top, cell.Text)
	if cell.Stereo && cell.Caution == "" && i+1 < len(s.Cells) {
		end := millimetres(s.Cells[i+1].Right)
		c.frame(left+0.5, top+0.5, end-left-1, height-top-0.9, divider)
	}
}

// sides are black at both ends of what is loud, so that it is told from the other
// caution without reading.
func sides(c canvas, left, right, top, bottom float64) {
	const wide = 1.2
	c.fill(left, top, left+wide, top, left+wide, bottom, left, bottom)
	c.fill(right-wide, top, right, top, right, bottom, right-wide, bottom)
}

// setText sets the lines of a text in the middle of a band.
func setText(c canvas, x, top, height float64, t strip.Text) {
	i := ink{t.Size, t.Bold}
	space := t.Size * strip.LineSpace * pointsToMM
	y := top + (height-space*float64(len(t.Lines)))/2
	for _, line := range t.Lines {
		c.middle(x, y+(space+capitals*t.Size*pointsToMM)/2, i, t.Squeeze, line)
		y += space
	}
}

// drawSigns draws the strip between the rows: of each pair the column's number, and
// what its normal does. A line stands for the normal, a bar across its end for the
// jack whose plug breaks it, two lines for jacks that are always joined, and nothing
// for jacks that are never.
func drawSigns(c canvas, s strip.Strip, height float64) {
	for i, cell := range s.Cells {
		x := millimetres(cell.Centre)
		sign(c, x, 0.7, height-0.7, cell.Mode)
		setText(c, (x+millimetres(cell.Right))/2, 0, height, cell.Text)
		if i > 0 {
			c.line(millimetres(cell.Left), 0, millimetres(cell.Left), 0.8, divider)
			c.line(millimetres(cell.Left), height-0.8, millimetres(cell.Left), height, divider)
		}
	}
}

// sign is that of a mode, from the upper jack to the lower.
func sign(c canvas, x, top, bottom float64, mode string) {
	const thick, half, apart = 0.4, 1.2, 0.5
	switch mode {
	case studio.Parallel.String():
		c.line(x-apart, top, x-apart, bottom, thick)
		c.line(x+apart, top, x+apart, bottom, thick)
		return
	case studio.FullNormal.String(), studio.HalfNormal.String(), studio.HalfNormalTop.String():
		c.line(x, top, x, bottom, thick)
	}
	if mode == studio.FullNormal.String() || mode == studio.HalfNormalTop.String() {
		c.line(x-half, top, x+half, top, thick)
	}
	if mode == studio.FullNormal.String() || mode == studio.HalfNormal.String() {
		c.line(x-half, bottom, x+half, bottom, thick)
	}
}

// cutMarks stand outside the corners; at a cut between two pieces there is a cross,
// and the tab for the next piece.
func cutMarks(c canvas, s strip.Strip) {
	const gap, long = 0.8, 2.5
	length, height := millimetres(s.Length), millimetres(s.Height)
	for _, x := range []float64{0, length} {
		c.line(x, -gap-long, x, -gap, hairline)
		c.line(x, height+gap, x, height+gap+long, hairline)
	}
	if s.Piece == 1 {
		corner(c, 0, height, -gap, -gap-long)
	} else {
		cross(c, 0, height)
	}
	if s.Tab == 0 {
		corner(c, length, height, gap, gap+long)
		return
	}
	tab := millimetres(s.Tab)
	c.line(length, 0, length+tab, 0, hairline)
	c.line(length, height, length+tab, height, hairline)
	c.line(length+tab, 0, length+tab, height, hairline)
	for y := 1.0; y < height; y++ {
		c.line(length+0.3, y, length+tab-0.3, y-0.6, hairline)
	}
	cross(c, length, height)
}

func corner(c canvas, x, height, from, to float64) {
	c.line(x+from, 0, x+to, 0, hairline)
	c.line(x+from, height, x+to, height, hairline)
}

// cross is what the cross of the next piece comes to lie on.
func cross(c canvas, x, height float64) {
	const arm = 1.2
	for _, y := range []float64{-2, height + 2} {
		c.line(x-arm, y, x+arm, y, hairline)
		c.line(x, y-arm, x, y+arm, hairline)
	}
}

// rulerLong is what is measured on the page, in both directions.
const rulerLong = 100.0

// drawRuler draws 100 mm from a corner, to the right or upward, with a line at each
// centimetre and the edges of the outermost lines 100 mm apart.
func drawRuler(c canvas, x, y float64, upright bool) {
	const thick = 0.2
	line := func(at, long, thick float64) {
		if upright {
			c.line(x, y-at, x-long, y-at, thick)
			return
		}
		c.line(x+at, y, x+at, y-long, thick)
	}
	for mm := range int(rulerLong) + 1 {
		long := 1.0
		switch {
		case mm%50 == 0:
			long = 2.6
		case mm%10 == 0:
			long = 2
		case mm%5 == 0:
			long = 1.4
		}
		line(float64(mm), long, thick/2)
	}
	if upright {
		c.line(x, y, x, y-rulerLong, thick)
		return
	}
	c.line(x, y, x+rulerLong, y, thick)
}
