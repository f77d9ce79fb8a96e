package paper

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"bayhand/model/measure"
	"bayhand/recall/words"
)

// peer finds a program of another project to check with. Without it the test is
// skipped, unless BAYHAND_PEERS is require.
func peer(t *testing.T, program string) string {
	t.Helper()
	path, err := exec.LookPath(program)
	if err == nil {
		return path
	}
	if os.Getenv("BAYHAND_PEERS") == "require" {
		t.Fatalf("%s is missing and BAYHAND_PEERS is require", program)
	}
	t.Skipf("%s is not on this machine", program)
	return ""
}

func printed(t testing.TB, s Sheet, size Size, fonts ...[]byte) ([]byte, []Warning) {
	t.Helper()
	var b bytes.Buffer
	warnings, err := PDF(&b, s, size, fonts...)
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes(), warnings
}

func outside(t *testing.T, program string, args ...string) string {
	t.Helper()
	out, err := exec.Command(peer(t, program), args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", program, err, out)
	}
	return string(out)
}

// saved keeps the page where another program can open it; BAYHAND_KEEP_PAGES names
// a folder to look at it afterwards.
func saved(t *testing.T, pdf []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "sheet.pdf")
	if dir := os.Getenv("BAYHAND_KEEP_PAGES"); dir != "" {
		path = filepath.Join(dir, strings.ReplaceAll(t.Name(), "/", "-")+".pdf")
	}
	if err := os.WriteFile(path, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestPDF(t *testing.T) {
	for _, test := range []struct {
		name  string
		sheet Sheet
		size  Size
		paper string // as pdfinfo says it
	}{
		{"evening", eveningSheet(t), A4, "595.28 x 841.89 pts (A4)"},
		{"evening-letter", eveningSheet(t), Letter, "612 x 792 pts (letter)"},
		{"long", long(t), A4, "(A4)"},
		{"many", many(t), A4, "(A4)"},
		{"nothing", Sheet{Studio: "Heron Boathouse", Session: "tern-mix-2"}, A4, "(A4)"},
	} {
		t.Run(test.name, func(t *testing.T) {
			pdf, _ := printed(t, test.sheet, test.size)
			path := saved(t, pdf)
			if info := outside(t, "pdfinfo", path); !strings.Contains(info, test.paper) {
				t.Errorf("the paper is not %s:\n%s", test.paper, info)
			}
			text := strings.Join(strings.Fields(outside(t, "pdftotext", "-raw", path, "-")), " ")
			for _, l := range test.sheet.Lines {
				if !strings.Contains(text, l.ID+" "+l.Verb) {
					t.Errorf("step %s (%s) is not on the page", l.ID, l.Verb)
				}
			}
			for _, want := range []string{"Turn loudspeakers and headphones down", "Never bring loudspeaker-level", "page 1 of"} {
				if !strings.Contains(text, want) {
					t.Errorf("%q is not on the page", want)
				}
			}
		})
	}
}

func TestPDFHoldsPlacesLengthsAndReasons(t *testing.T) {
	sheet := eveningSheet(t)
	sheet.Origin = "studio.yaml 0123abcd"
	pdf, warnings := printed(t, sheet, A4)
	if len(warnings) > 0 {
		t.Errorf("warnings about plain letters: %v", warnings)
	}
	text := strings.Join(strings.Fields(outside(t, "pdftotext", saved(t, pdf), "-")), " ")
	for _, want := range []string{
		"Tern Quartet, second mix", "Heron Boathouse", "2026-03-14", "A made-up studio.",
		"main 1 top", "main 25 bottom", "30 cm", "interface out 1 \u2192 Two-channel compressor in 1",
		"after 7, 2", "the vocal goes through the compressor", "at monitor cut",
		"in 5 \u2192 out 1, out 2 off", "leave the other end in main 3 top", "Far wall b2",
		"no free tie between far and main", "and has no signal", "studio.yaml 0123abcd",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
}

// Every word stands within the margins, as another program finds the words.
func TestPDFStaysWithinItsMargins(t *testing.T) {
	box := regexp.MustCompile(`<word xMin="([0-9.]+)" yMin="([0-9.]+)" xMax="([0-9.]+)" yMax="([0-9.]+)"`)
	for _, s := range []Sheet{eveningSheet(t), long(t), many(t)} {
		pdf, _ := printed(t, s, A4)
		found := box.FindAllStringSubmatch(outside(t, "pdftotext", "-bbox", saved(t, pdf), "-"), -1)
		if len(found) == 0 {
			t.Fatal("no words found")
		}
		const points = 72 / 25.4
		limits := []float64{usualMargin * points, usualMargin * points, (210 - usualMargin) * points, (297 - usualMargin) * points}
		for _, w := range found {
			for i, limit := range limits {
				at, err := strconv.ParseFloat(w[i+1], 64)
				if err != nil {
					t.Fatal(err)
				}
				// Two points for what letters stand out of their line.
				if i < 2 && at < limit-2 || i >= 2 && at > limit+2 {
					t.Errorf("%s: a word stands at %v, beyond the margin at %v: %s", s.Session, at, limit, w[0])
				}
			}
		}
	}
}

func TestPDFIsTheSameEachTime(t *testing.T) {
	first, _ := printed(t, long(t), A4)
	for range 3 {
		if again, _ := printed(t, long(t), A4); !bytes.Equal(first, again) {
			t.Fatal("the same sheet gave other bytes")
		}
	}
}

func TestPDFEmbedsItsFonts(t *testing.T) {
	pdf, _ := printed(t, eveningSheet(t), A4)
	embedded(t, saved(t, pdf))
}

// embedded says where a document's fonts are not in it, as another program sees it.
func embedded(t *testing.T, path string) {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(outside(t, "pdffonts", path)), "\n")
	if len(lines) < 4 {
		t.Fatalf("no fonts listed: %q", lines)
	}
	for _, l := range lines[2:] {
		// The columns before the object are emb, sub and uni.
		fields := strings.Fields(l)
		if n := len(fields); n < 5 || fields[n-5] != "yes" || fields[n-3] != "yes" {
			t.Errorf("not embedded with its Unicode map: %s", l)
		}
	}
}

func TestPDFShowsWhatItCannotPrint(t *testing.T) {
	s := Sheet{Session: "琴", Studio: "Bootshaus 🎚", Lines: []words.Line{{ID: "1", Verb: "plug", Names: "main/t1 - main/b25"}}}
	s.Lines[0].Action.From = "שלום 1 top"
	pdf, warnings := printed(t, s, A4)
	letters := map[rune]bool{}
	for _, w := range warnings {
		letters[w.Letter] = true
	}
	for _, r := range "琴🎚שלום" {
		if !letters[r] {
			t.Errorf("no warning about %q", r)
		}
	}
	text := outside(t, "pdftotext", saved(t, pdf), "-")
	for _, want := range []string{"[U+7434]", "[U+1F39A]", "[U+05E9]", "in names: main/t1 - main/b25", "No font at hand prints"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the page:\n%s", want, text)
		}
	}
}

// A second font prints what the first one lacks. The one here lies in the
// library's own folder: Bitstream Vera licence with the changes in the public
// domain; it holds Georgian.
func TestPDFTakesOtherFonts(t *testing.T) {
	dir := strings.TrimSpace(outside(t, "go", "list", "-m", "-f", "{{.Dir}}", "codeberg.org/go-pdf/fpdf"))
	font, err := os.ReadFile(filepath.Join(dir, "font", "DejaVuSansCondensed.ttf"))
	if err != nil {
		t.Fatal(err)
	}
	s := Sheet{Session: "მეორე"}
	if _, warnings := printed(t, s, A4); len(warnings) == 0 {
		t.Error("the built-in font claims to print Georgian")
	}
	pdf, warnings := printed(t, s, A4, font)
	if len(warnings) > 0 {
		t.Errorf("warnings with a font that holds the letters: %v", warnings)
	}
	if text := outside(t, "pdftotext", saved(t, pdf), "-"); !strings.Contains(text, s.Session) {
		t.Errorf("%q is not on the page:\n%s", s.Session, text)
	}
}

func TestPDFRefusesOtherOutlines(t *testing.T) {
	if _, err := PDF(new(bytes.Buffer), Sheet{}, A4, []byte("OTTO, another kind of outline")); err == nil {
		t.Error("a font that cannot be embedded is taken silently")
	}
}

func TestSizes(t *testing.T) {
	for _, size := range []Size{A4, A3, Letter, {320 * measure.Millimetre, 450500 * measure.Micrometre}} {
		if got, err := ParseSize(strings.ToUpper(size.String())); got != size || err != nil {
			t.Errorf("ParseSize(%q) = %v, %v", size, got, err)
		}
	}
	for text, want := range map[string]string{"a5": "write a4, a3 or letter", "10x200": "from 80 to 2000 mm", "100x": "320x450"} {
		if _, err := ParseSize(text); err == nil || !strings.Contains(fmt.Sprint(err), want) {
			t.Errorf("%s gives %v; it should say what is legal: %s", text, err, want)
		}
	}
}
