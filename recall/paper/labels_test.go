package paper

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"bayhand/model/strip"
	"bayhand/model/studio"
	files "bayhand/model/text"
)

func readStudio(t testing.TB, src string) *studio.Studio {
	t.Helper()
	s, _, problems := files.ReadStudio("studio.yaml", []byte(src))
	if problems.Errors() {
		t.Fatalf("%v", problems)
	}
	return s
}

// numbered is a bay with a number at each of its upper jacks, and no other strip.
func numbered(t testing.TB, columns int, jack string) *studio.Studio {
	return readStudio(t, fmt.Sprintf(`studio: Numbers
gear: {interface: {outputs: {out1-%[1]d: pro-line}}}
bays: {main: {pairs: %[1]d, jack: %[2]s, modes: isolated, strips: {between: 0 mm, below: 0 mm}}}
wiring: [interface/out1-%[1]d -> main/t1-%[1]d]
`, columns, jack))
}

func stripsFor(t testing.TB, s *studio.Studio, size Size) []strip.Strip {
	t.Helper()
	ruler, err := StripRuler()
	if err != nil {
		t.Fatal(err)
	}
	var all []strip.Strip
	for _, b := range s.Bays {
		all = append(all, strip.Of(s, b, strip.Options{Paper: StripRoom(size), Ruler: ruler})...)
	}
	return all
}

func labelsPDF(t testing.TB, s *studio.Studio, size Size) ([]strip.Strip, string) {
	t.Helper()
	strips := stripsFor(t, s, size)
	var b bytes.Buffer
	if _, err := LabelsPDF(&b, Labels{Studio: s.Name, Title: "Label strips", Date: time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC), Origin: "studio.yaml 00000000", Strips: strips}, size); err != nil {
		t.Fatal(err)
	}
	return strips, saved(t.(*testing.T), b.Bytes())
}

// word is one that another program found on a page, in millimetres.
type word struct {
	left, top, right, bottom float64
	text                     string
}

func (w word) centre() float64 { return (w.left + w.right) / 2 }

var wordBox = regexp.MustCompile(`<word xMin="([0-9.]+)" yMin="([0-9.]+)" xMax="([0-9.]+)" yMax="([0-9.]+)">(.*)</word>`)

// wordsOn are those of all pages of a PDF.
func wordsOn(t *testing.T, path string) []word {
	t.Helper()
	var all []word
	for _, m := range wordBox.FindAllStringSubmatch(outside(t, "pdftotext", "-bbox", path, "-"), -1) {
		var at [4]float64
		for i := range at {
			points, err := strconv.ParseFloat(m[i+1], 64)
			if err != nil {
				t.Fatal(err)
			}
			at[i] = points * pointsToMM
		}
		all = append(all, word{at[0], at[1], at[2], at[3], m[5]})
	}
	return all
}

// Texts stand over their jacks within 0.1 mm, and within their cells, as another
// program reads the page: quarter-inch and bantam, 16 to 48 columns.
func TestTextsStandOverTheirJacks(t *testing.T) {
	for _, test := range []struct {
		columns int
		jack    string
		size    Size
	}{{16, "quarter-inch", A4}, {24, "quarter-inch", A4}, {24, "quarter-inch", A3}, {48, "bantam", A4}, {48, "bantam", Letter}, {32, "bantam", A3}} {
		t.Run(fmt.Sprintf("%d-%s-%v", test.columns, test.jack, test.size), func(t *testing.T) {
			strips, path := labelsPDF(t, numbered(t, test.columns, test.jack), test.size)
			seen := map[string]int{}
			worst := 0.0
			for _, w := range wordsOn(t, path) {
				column, err := strconv.Atoi(w.text)
				if err != nil || w.bottom-w.top > 4 || column > test.columns {
					continue
				}
				cell, ok := cellOf(strips, column)
				if !ok || math.Abs(w.centre()-stripMargin-millimetres(cell.Centre)) > 5 {
					continue // another number on the page
				}
				seen[w.text]++
				worst = max(worst, math.Abs(w.centre()-stripMargin-millimetres(cell.Centre)))
				if w.left < stripMargin+millimetres(cell.Left) || w.right > stripMargin+millimetres(cell.Right) {
					t.Errorf("%s stands from %.2f to %.2f, out of its cell", w.text, w.left, w.right)
				}
			}
			for column := 1; column <= test.columns; column++ {
				if seen[strconv.Itoa(column)] == 0 {
					t.Errorf("column %d is not on the page", column)
				}
			}
			if worst > 0.1 {
				t.Errorf("the worst text stands %.3f mm from its jack", worst)
			}
			t.Logf("the worst text stands %.4f mm from its jack", worst)
		})
	}
}

func cellOf(strips []strip.Strip, column int) (strip.Cell, bool) {
	for _, s := range strips {
		for _, c := range s.Cells {
			if c.Column == column {
				return c, true
			}
		}
	}
	return strip.Cell{}, false
}

// scan is a part of a page at 600 dots an inch; a dot is 0.0423 mm.
type scan struct {
	width, height int
	gray          []byte
	left, top     float64 // of its first dot, in millimetres
}

const dot = 25.4 / 600

// scanned draws a part of the first page of a PDF with another program.
func scanned(t *testing.T, path string, left, top, width, height float64) scan {
	t.Helper()
	x, y := int(left/dot), int(top/dot)
	base := filepath.Join(t.TempDir(), "scan")
	outside(t, "pdftoppm", "-r", "600", "-gray", "-f", "1", "-l", "1", "-singlefile",
		"-x", strconv.Itoa(x), "-y", strconv.Itoa(y), "-W", strconv.Itoa(int(width/dot)), "-H", strconv.Itoa(int(height/dot)), path, base)
	src, err := os.ReadFile(base + ".pgm")
	if err != nil {
		t.Fatal(err)
	}
	var s scan
	if _, err := fmt.Sscanf(string(src[:min(len(src), 40)]), "P5\n%d %d\n255\n", &s.width, &s.height); err != nil {
		t.Fatalf("the scan has no head: %v", err)
	}
	s.gray = src[len(src)-s.width*s.height:]
	s.left, s.top = float64(x)*dot, float64(y)*dot
	return s
}

// across are the centres of what is dark along a level line, down those along an
// upright one, in millimetres on the page.
func (s scan) across(y float64) []float64 {
	row := int((y - s.top) / dot)
	return marksIn(s.width, s.left, func(i int) byte { return s.gray[row*s.width+i] })
}

func (s scan) down(x float64) []float64 {
	column := int((x - s.left) / dot)
	return marksIn(s.height, s.top, func(i int) byte { return s.gray[i*s.width+column] })
}

func marksIn(count int, from float64, at func(int) byte) []float64 {
	var centres []float64
	for i := 0; i < count; i++ {
		// A grey dot counts as much as it is dark.
		sum, weight := 0.0, 0.0
		for ; i < count && at(i) < 250; i++ {
			dark := float64(255 - at(i))
			sum, weight = sum+dark*(float64(i)+0.5), weight+dark
		}
		if weight > 150 {
			centres = append(centres, from+sum/weight*dot)
		}
	}
	return centres
}

// At 600 dots an inch the frame of 24 columns of 15.875 mm is 381 mm long, and the
// rulers 100 mm (2362.2 dots).
func TestRulesAreAsLongAsTheyMustBe(t *testing.T) {
	_, path := labelsPDF(t, numbered(t, 24, "quarter-inch"), A3)
	height := 297.0
	y := numbersAt(t, path)
	lines := scanned(t, path, 7, y-2, 400, 4).across(y)
	if len(lines) < 2 {
		t.Fatalf("the frame is not found: %v", lines)
	}
	if long := lines[len(lines)-1] - lines[0] + hairline; math.Abs(long-381) > 0.1 {
		t.Errorf("the strip is %.3f mm long", long)
	} else {
		t.Logf("the strip is %.3f mm long", long)
	}
	foot := scanned(t, path, 420-stripMargin-105, height-stripMargin-10, 110, 8)
	ticks := foot.across(height - stripMargin - 5 - 2.3)
	if len(ticks) != 3 || math.Abs(ticks[2]-ticks[0]-100) > 0.1 || math.Abs(ticks[1]-ticks[0]-50) > 0.1 {
		t.Errorf("the ruler at the foot has its long lines at %.3f", ticks)
	} else {
		t.Logf("the ruler at the foot is %.3f mm", ticks[2]-ticks[0])
	}
	side := scanned(t, path, 2, 100, 8, 190)
	x := stripMargin - 4 - 2.3
	if ticks = side.down(x); len(ticks) != 3 || math.Abs(ticks[2]-ticks[0]-100) > 0.1 {
		t.Errorf("the upright ruler has its long lines at %.3f", ticks)
	} else {
		t.Logf("the upright ruler is %.3f mm", ticks[2]-ticks[0])
	}
}

// numbersAt is the height of the middle of the first strip's numbers.
func numbersAt(t *testing.T, path string) float64 {
	for _, w := range wordsOn(t, path) {
		if w.text == "24" {
			return (w.top + w.bottom) / 2
		}
	}
	t.Fatal("no strip is on the page")
	return 0
}

func TestLabelsWishToBePrintedAtTheirSize(t *testing.T) {
	_, path := labelsPDF(t, numbered(t, 16, "bantam"), A4)
	src, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(src, []byte("/PrintScaling /None")) || bytes.Count(src, []byte("%%EOF")) != 2 {
		t.Error("the document has no wish about its scale, or is not updated as it should be")
	}
	if info := outside(t, "pdfinfo", path); !strings.Contains(info, "841.89 x 595.28 pts (A4)") || strings.Contains(info, "Error") {
		t.Errorf("another program reads:\n%s", info)
	}
	embedded(t, path)
}

// The SVG of a strip, printed by a browser, has its texts and its frame where the
// strip has them, within 0.05 mm.
func TestVectorStripsInABrowser(t *testing.T) {
	browser := peer(t, "chromium")
	s := numbered(t, 16, "bantam")
	one := strip.Of(s, s.Bays[0], strip.Options{})[0]
	dir := t.TempDir()
	page := filepath.Join(dir, "page.html")
	html := "<!doctype html><style>@page{size:210mm 60mm;margin:0}body{margin:0}svg{display:block}</style>" + string(StripSVG(one))
	if err := os.WriteFile(page, []byte(html), 0o644); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "page.pdf")
	outside(t, browser, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer", "--user-data-dir="+filepath.Join(dir, "profile"), "--print-to-pdf="+path, "file://"+page)
	if fonts := outside(t, "pdffonts", path); !strings.Contains(fonts, "+Go") {
		t.Errorf("the browser did not take the font of the file:\n%s", fonts)
	}
	worst, found := 0.0, 0
	for _, w := range wordsOn(t, path) {
		if column, err := strconv.Atoi(w.text); err == nil {
			found++
			worst = max(worst, math.Abs(w.centre()-around-millimetres(one.Cells[column-1].Centre)))
		}
	}
	if found != 16 || worst > 0.05 {
		t.Errorf("%d numbers are found, the worst %.3f mm from its jack", found, worst)
	}
	lines := scanned(t, path, 1, 2, 140, 12).across(around + 0.4)
	if len(lines) < 2 {
		t.Fatalf("the frame is not found: %v", lines)
	}
	long := lines[len(lines)-1] - lines[0] + hairline
	if math.Abs(long-millimetres(one.Length)) > 0.05 {
		t.Errorf("the strip is %.3f mm long, and should be %.3f", long, millimetres(one.Length))
	}
	t.Logf("the worst text is %.4f mm off, the strip %.4f mm", worst, long-millimetres(one.Length))
}

func TestLabelsAreTheSameEachTime(t *testing.T) {
	s := boathouse(t)
	l := Labels{Studio: s.Name, Title: "Label strips", Strips: stripsFor(t, s, A4)}
	var first, again bytes.Buffer
	if _, err := LabelsPDF(&first, l, A4); err != nil {
		t.Fatal(err)
	}
	if _, err := LabelsPDF(&again, l, A4); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first.Bytes(), again.Bytes()) {
		t.Error("the same strips gave other bytes")
	}
}
