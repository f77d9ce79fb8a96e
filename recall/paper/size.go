package paper

import (
	"fmt"
	"strconv"
	"strings"

	"bayhand/model/measure"
)

// Size is a size of paper, upright. The zero Size is printed as A4.
type Size struct {
	Width, Height measure.Length
}

// Sizes of paper: ISO 216, and ANSI/ASME Y14.1 for letter.
var (
	A4     = Size{210 * measure.Millimetre, 297 * measure.Millimetre}
	A3     = Size{297 * measure.Millimetre, 420 * measure.Millimetre}
	Letter = Size{215900 * measure.Micrometre, 279400 * measure.Micrometre}
)

// Sides of paper that a printer takes.
const (
	leastSide = 80 * measure.Millimetre
	mostSide  = 2 * measure.Metre
)

// String is what ParseSize reads: a4, a3, letter, or the sides in millimetres, such
// as 320x450.
func (s Size) String() string {
	switch s {
	case A4, Size{}:
		return "a4"
	case A3:
		return "a3"
	case Letter:
		return "letter"
	}
	side := func(l measure.Length) string {
		return strconv.FormatFloat(millimetres(l), 'f', -1, 64)
	}
	return side(s.Width) + "x" + side(s.Height)
}

// ParseSize reads a4, a3 or letter, in any case, or two sides in millimetres from 80
// to 2000, such as 320x450.
func ParseSize(text string) (Size, error) {
	switch strings.ToLower(text) {
	case "a4":
		return A4, nil
	case "a3":
		return A3, nil
	case "letter":
		return Letter, nil
	}
	across, down, _ := strings.Cut(strings.ToLower(text), "x")
	width, err := measure.ParseLength(across + " mm")
	height, err2 := measure.ParseLength(down + " mm")
	s := Size{width, height}
	if err != nil || err2 != nil {
		return Size{}, fmt.Errorf("%q is no size of paper known here; write a4, a3 or letter, or its sides in millimetres: 320x450", text)
	}
	if min(width, height) < leastSide || max(width, height) > mostSide {
		return Size{}, fmt.Errorf("paper of %s mm is not printed on; its sides are from 80 to 2000 mm", text)
	}
	return s, nil
}

// upright is the size in millimetres as it is fed; across is turned so that the
// longer side lies level.
func (s Size) upright() (width, height float64) {
	if s == (Size{}) {
		s = A4
	}
	return millimetres(s.Width), millimetres(s.Height)
}

func (s Size) across() Size {
	if s == (Size{}) {
		s = A4
	}
	if s.Width < s.Height {
		s.Width, s.Height = s.Height, s.Width
	}
	return s
}

func millimetres(l measure.Length) float64 { return float64(l) / float64(measure.Millimetre) }
