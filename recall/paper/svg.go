package paper

import (
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"bayhand/model/strip"
	"bayhand/recall/font"
	"bayhand/recall/words"
)

// around is what an SVG leaves free around a strip for the marks to cut by, in
// millimetres.
const around = 4.0

// StripSVG draws one piece of a strip in a file of its own (SVG 1.1), in millimetres
// at its true size. The font is in the file, so that it looks the same everywhere; each
// text has its length said beside, so that it fits its cell even in a program that takes
// a font of its own.
func StripSVG(s strip.Strip) []byte {
	width := millimetres(s.Length) + millimetres(s.Tab) + 2*around
	height := millimetres(s.Height) + 2*around
	c := &onVector{ruler: strip.BuiltIn()}
	drawStrip(c, s)
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%[1]smm" height="%[2]smm" viewBox="%[3]s %[3]s %[1]s %[2]s" role="img">`+"\n",
		number(width), number(height), number(-around))
	fmt.Fprintf(&b, "<title>%s</title>\n", escaped(words.Clean(s.Label)+", "+string(s.Row)))
	b.WriteString(vectorFonts())
	b.WriteString(`<g fill="none" stroke="#000" stroke-linecap="butt" font-family="'Go', 'Helvetica', 'Arial', 'Liberation Sans', sans-serif" text-anchor="middle">` + "\n")
	b.WriteString(c.body.String())
	b.WriteString("</g>\n</svg>\n")
	return []byte(b.String())
}

// vectorFonts are the fonts as a style of the file.
var vectorFonts = sync.OnceValue(func() string {
	var b strings.Builder
	b.WriteString("<style>\n")
	for _, f := range []struct {
		weight string
		data   []byte
	}{{"normal", font.Regular}, {"bold", font.Bold}} {
		fmt.Fprintf(&b, "@font-face { font-family: 'Go'; font-weight: %s; src: url(data:font/woff2;base64,%s) format('woff2'); }\n",
			f.weight, base64.StdEncoding.EncodeToString(f.data))
	}
	b.WriteString("</style>\n")
	return b.String()
})

// onVector writes elements of SVG.
type onVector struct {
	body  strings.Builder
	ruler strip.Ruler
}

// number is a length in millimetres, to a ten-thousandth.
func number(mm float64) string {
	text := strconv.FormatFloat(mm, 'f', 4, 64)
	text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	if text == "-0" {
		return "0"
	}
	return text
}

func escaped(text string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(text)) // a strings.Builder takes everything
	return b.String()
}

func (c *onVector) line(x1, y1, x2, y2, thick float64) {
	fmt.Fprintf(&c.body, `<path d="M%s %sL%s %s" stroke-width="%s"/>`+"\n", number(x1), number(y1), number(x2), number(y2), number(thick))
}

func (c *onVector) frame(x, y, width, height, thick float64) {
	fmt.Fprintf(&c.body, `<rect x="%s" y="%s" width="%s" height="%s" stroke-width="%s"/>`+"\n",
		number(x+thick/2), number(y+thick/2), number(width-thick), number(height-thick), number(thick))
}

func (c *onVector) fill(points ...float64) {
	var at []string
	for _, p := range points {
		at = append(at, number(p))
	}
	fmt.Fprintf(&c.body, `<polygon points="%s" fill="#000" stroke="none"/>`+"\n", strings.Join(at, " "))
}

func (c *onVector) middle(x, base float64, i ink, squeeze float64, text string) {
	weight := ""
	if i.bold {
		weight = ` font-weight="bold"`
	}
	long := millimetres(c.ruler(text, i.bold, i.size)) * squeeze
	fmt.Fprintf(&c.body, `<text x="%s" y="%s" font-size="%s"%s textLength="%s" lengthAdjust="spacingAndGlyphs" fill="#000" stroke="none">%s</text>`+"\n",
		number(x), number(base), number(i.size*pointsToMM), weight, number(long), escaped(text))
}
