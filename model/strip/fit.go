package strip

import (
	"strings"

	"bayhand/model/measure"
)

// Sizes of letters in points, and how far they are squeezed.
const (
	overSize = 6.5
	cellSize = 8
	// cautionSize is that of a cell with a heavy frame, which takes cautionFrame of its
	// width.
	cautionSize  = 6.5
	cautionFrame = 1300 * measure.Micrometre
	small        = 5
	smallest     = 4.5
	squeezed     = 0.85
	// LineSpace is from line to line, in parts of the size.
	LineSpace = 1.15
	// spare is left free at each side of a cell.
	spare = 300 * measure.Micrometre
)

// room is the place for a text.
type room struct {
	width, height measure.Length
	size          float64
	bold          bool
	ruler         Ruler
}

// lines is how many lines of a size stand one above another; one always does.
func (r room) lines(size float64) int {
	return max(1, int(float64(r.height)/(size*LineSpace*float64(Point))))
}

// set sets a text at a size, in as many lines as there is room for; false where it
// does not fit.
func (r room) set(text string, size, squeeze float64) (Text, bool) {
	fits := func(line string) bool {
		return measure.Length(float64(r.ruler(line, r.bold, size))*squeeze) <= r.width-2*spare
	}
	made := Text{Size: size, Squeeze: squeeze, Bold: r.bold}
	if fits(text) {
		made.Lines = []string{text}
		return made, true
	}
	most := r.lines(size)
	for _, word := range strings.Fields(text) {
		last := len(made.Lines) - 1
		if last >= 0 && fits(made.Lines[last]+" "+word) {
			made.Lines[last] += " " + word
			continue
		}
		if len(made.Lines) == most || !fits(word) {
			return Text{}, false
		}
		made.Lines = append(made.Lines, word)
	}
	return made, true
}

// fit sets a label with a tail that is never cut: as it is written, by its short
// form, squeezed, in smaller letters, and cut at last.
func (r room) fit(l label, tail string) Text {
	made := r.fitted(l, tail)
	made.Full = joined(l.full, tail)
	if made.Cut {
		made.Write = l.write
	}
	return made
}

func (r room) fitted(l label, tail string) Text {
	if made, ok := r.set(joined(l.full, tail), r.size, 1); ok {
		return made
	}
	text := l.full
	if l.short != "" {
		text = l.short
		if made, ok := r.set(joined(text, tail), r.size, 1); ok {
			return made
		}
	}
	for _, size := range []float64{r.size, small, smallest} {
		if size > r.size {
			continue
		}
		if made, ok := r.set(joined(text, tail), size, squeezed); ok {
			return made
		}
	}
	return r.cut(text, tail)
}

// cut takes away from the text, less and less readable, until it fits.
func (r room) cut(text, tail string) Text {
	for _, shorter := range cuts(text) {
		if made, ok := r.set(joined(shorter, tail), smallest, squeezed); ok {
			made.Cut = true
			return made
		}
	}
	// Not even one letter and the tail: as much of the tail as there is room for.
	for _, shorter := range append(cuts(tail), "") {
		if made, ok := r.set(shorter, smallest, squeezed); ok {
			made.Cut = true
			return made
		}
	}
	return Text{Lines: []string{}, Size: smallest, Squeeze: squeezed, Bold: r.bold, Cut: true}
}

func joined(text, tail string) string { return strings.TrimSpace(text + " " + tail) }
