package strip

import (
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"bayhand/model/measure"
)

// Ruler gives the width of a text in bold or plain letters of a size in points.
type Ruler func(text string, bold bool, size float64) measure.Length

// Point is the printer's, 1/72 in.
const Point = measure.Length(25400 * measure.Micrometre / 72)

// BuiltIn measures with the advance widths of the Go font (Latin, Greek and
// Cyrillic), which recall/paper embeds. A letter that it lacks is as wide as the
// font's sign for that.
func BuiltIn() Ruler {
	return func(text string, bold bool, size float64) measure.Length {
		f := plainFont()
		if bold {
			f = boldFont()
		}
		var sum float64
		for _, r := range text {
			sum += f.advance(r)
		}
		return measure.Length(sum * size * float64(Point))
	}
}

var (
	plainFont = sync.OnceValue(func() *advances { return newAdvances(goregular.TTF) })
	boldFont  = sync.OnceValue(func() *advances { return newAdvances(gobold.TTF) })
)

// advances are the widths of a font's letters in parts of its size, of which those
// of the Latin, Greek and Cyrillic blocks are looked up once.
type advances struct {
	font   *sfnt.Font
	common [0x0530]float64
}

func newAdvances(ttf []byte) *advances {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic(err) // a font that was compiled in
	}
	a := &advances{font: f}
	for r := range a.common {
		a.common[r] = a.find(rune(r))
	}
	return a
}

func (a *advances) advance(r rune) float64 {
	if int(r) < len(a.common) {
		return a.common[r]
	}
	return a.find(r)
}

func (a *advances) find(r rune) float64 {
	var b sfnt.Buffer
	em := a.font.UnitsPerEm()
	glyph, err := a.font.GlyphIndex(&b, r)
	if err != nil {
		return 1
	}
	width, err := a.font.GlyphAdvance(&b, glyph, fixed.Int26_6(em), font.HintingNone)
	if err != nil {
		return 1
	}
	return float64(width) / float64(em)
}
