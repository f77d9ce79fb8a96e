package paper

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// A form has each of its lines once, its table goes on over pages, and the same form
// gives the same bytes.
func TestCheckupHasEveryLine(t *testing.T) {
	c := Checkup{Title: "The sheet of the year", Studio: "Heron Boathouse", Session: "First take", Says: "The reference was kept.",
		Parts: []CheckupPart{
			{Title: "Before the sound", Ticks: []string{"Loudspeakers down", "Phantom power off"}},
			{Title: "Paths", Columns: []CheckupColumn{{"output", 0}, {"input", 0.3}, {"now", 0.7}}},
			{Title: "Left out", Ticks: nil},
		}}
	for n := range 60 {
		c.Parts[1].Rows = append(c.Parts[1].Rows, []string{fmt.Sprintf("source%d", n), fmt.Sprintf("target%d", n), ""})
	}
	made := func() []byte {
		t.Helper()
		var b bytes.Buffer
		warnings, err := CheckupPDF(&b, c, A4)
		if err != nil || len(warnings) > 0 {
			t.Fatal(err, warnings)
		}
		return b.Bytes()
	}
	pdf := made()
	if !bytes.Equal(pdf, made()) {
		t.Error("the same form gives other bytes")
	}
	words := strings.Fields(outside(t, "pdftotext", "-raw", saved(t, pdf), "-"))
	count := map[string]int{}
	for _, w := range words {
		count[w]++
	}
	for n := range 60 {
		if count[fmt.Sprintf("source%d", n)] != 1 || count[fmt.Sprintf("target%d", n)] != 1 {
			t.Errorf("row %d stands there %d times", n, count[fmt.Sprintf("source%d", n)])
		}
	}
	if text := strings.Join(words, " "); !strings.Contains(text, "Phantom power off") || strings.Contains(text, "Left out") || !strings.Contains(text, "page 2 of 2") {
		t.Errorf("the form says %.300s", text)
	}
}
