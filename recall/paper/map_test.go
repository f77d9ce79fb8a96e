package paper

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"bayhand/model/arrange"
	"bayhand/model/studio"
	files "bayhand/model/text"
)

// A map is read back by another program: every column with its reason, the cables to
// move, and the cautions.
func TestMap(t *testing.T) {
	s, _, problems := files.ReadStudio("studio.yaml", []byte(`studio: Small
gear:
  interface: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}
  squeeze: {label: Two-channel compressor, short: compressor, channels: 2, line: pro-line}
bays:
  main: {pairs: 8, modes: isolated}
wiring:
  - interface/out1-2 -> main/t5-6
  - main/b5-6 -> interface/in1-2
  - squeeze/out1-2 -> main/t1-2
  - main/b1-2 -> squeeze/in1-2
`))
	if problems.Errors() {
		t.Fatal(problems)
	}
	one, _, problems := files.ReadSession("take.yaml", []byte("session: Take\nconnect:\n  - interface/out1-2 -> squeeze/1-2 -> interface/in1-2\n"), s, nil)
	if problems.Errors() {
		t.Fatal(problems)
	}
	a, err := arrange.Propose(context.Background(), arrange.Request{Studio: s, Sessions: []arrange.Weighted{{Session: one, Weight: 1}}, Tidy: 5, Moves: -1})
	if err != nil {
		t.Fatal(err)
	}
	var b, again bytes.Buffer
	for _, to := range []*bytes.Buffer{&b, &again} {
		if _, err := MapPDF(to, Map{Answer: a, Origin: "studio.yaml 1234"}, A4); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(b.Bytes(), again.Bytes()) {
		t.Error("the same map gives other bytes")
	}
	read := outside(t, "pdftotext", "-layout", saved(t, b.Bytes()), "-")
	wanted := []string{"What lands where", "Small", "asked for in 1 of 1 session", "blank, to spare", "Cables to solder or plug at the rear", "follow local codes"}
	for _, r := range arrange.Runs(a.Columns) {
		wanted = append(wanted, r.Pairs())
	}
	wanted = append(wanted, "compressor out 1", "compressor in 1 to 2", "interface out 1", "from main ")
	for _, w := range wanted {
		if !strings.Contains(read, w) {
			t.Errorf("the map does not say %q:\n%s", w, read)
		}
	}
	// It hangs beside panels that have labels: no name of a file stands on it.
	for _, name := range []string{"squeeze", "main/", "interface/"} {
		if strings.Contains(read, name) {
			t.Errorf("the map says %s, which is the name in a file:\n%s", name, read)
		}
	}
}

// Where there are several bays each line names its own: its picture may stand on another
// page.
func TestMapLinesNameTheirBay(t *testing.T) {
	s := &studio.Studio{Bays: []studio.Bay{{Name: "main"}, {Name: "far"}}}
	r := arrange.Run{Bay: "far", From: 13, To: 14}
	if got := columnsText(s, r); got != "far 13-14" {
		t.Errorf("the line begins with %q", got)
	}
	s.Bays = s.Bays[1:]
	if got := columnsText(s, r); got != "13-14" {
		t.Errorf("with one bay the line begins with %q", got)
	}
}
