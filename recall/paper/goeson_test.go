package paper

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
)

// A part that goes on at the top of a page is named there, since sheets are read one by
// one; one that begins there is not named twice.
func TestPartsThatGoOn(t *testing.T) {
	s := readStudio(t, "studio: House\nbays:\n  main: {label: East wall, pairs: 96, modes: isolated}\n  far: {label: West wall, pairs: 8, modes: isolated}\n")
	var b bytes.Buffer
	if _, err := BlankPDF(&b, Wall{Room: heard.NewRoom(s)}, A4); err != nil {
		t.Fatal(err)
	}
	pages := strings.Split(outside(t, "pdftotext", "-layout", saved(t, b.Bytes()), "-"), "\f")
	if len(pages) < 4 {
		t.Fatalf("%d pages", len(pages))
	}
	if strings.Contains(pages[0], "continued") {
		t.Errorf("the first page goes on with something:\n%s", pages[0])
	}
	for n, page := range pages[1:] {
		head, rest, _ := strings.Cut(strings.TrimSpace(page), "\n")
		if n < 2 && !strings.Contains(head, "Patch, to fill in by hand: East wall, continued") {
			t.Errorf("page %d begins with %q", n+2, head)
		}
		if first, _, _ := strings.Cut(strings.TrimSpace(rest), "\n"); strings.Contains(first, " wall") && strings.Contains(head, "continued") {
			t.Errorf("page %d goes on with what begins there: %q, %q", n+2, head, first)
		}
	}
}

// Of a matrix with nothing closed a sheet says so, and draws no empty grid; the rows of a
// large one do not stand in each other.
func TestGridsOfLargeMatrices(t *testing.T) {
	s := readStudio(t, "studio: House\ngear:\n  tape: {inputs: {in1-64: pro-line}}\nmatrices:\n  grid: {inputs: 64, outputs: 64}\n  side: {inputs: 64, outputs: 64}\nwiring: [grid/out1-64 -> tape/in1-64]\n")
	closed := patch.Patch{Crosspoints: []patch.Crosspoint{{Output: name.At("grid", "out", 1), Input: name.At("grid", "in", 1)}}}
	var b bytes.Buffer
	sheet := FromOccasion(Occasion{Room: heard.NewRoom(s), Session: &session.Session{}, Plan: &plan.Plan{Target: plan.Target(closed)}})
	if _, err := RecallPDF(&b, sheet, A4); err != nil {
		t.Fatal(err)
	}
	path := saved(t, b.Bytes())
	text := outside(t, "pdftotext", "-layout", path, "-")
	if !strings.Contains(text, "all crosspoints open") || strings.Count(text, "out 64") != 1 {
		t.Errorf("the matrix with nothing closed has a grid:\n%s", text)
	}
	last := -1.0
	for _, m := range wordBox.FindAllStringSubmatch(outside(t, "pdftotext", "-bbox", path, "-"), -1) {
		var left, top, bottom float64
		for i, into := range []*float64{&left, &top, nil, &bottom} {
			if into != nil {
				fmt.Sscan(m[i+1], into)
			}
		}
		if m[5] != "tape" || left > 200 {
			continue
		}
		// The box of a word is as high as its line, a quarter more than its letters.
		if last >= 0 && top < last-(bottom-top)*0.25 {
			t.Fatalf("a row begins at %.1f, and the one before ends at %.1f", top, last)
		}
		last = bottom
	}
	if last < 0 {
		t.Error("no row was found")
	}
}
