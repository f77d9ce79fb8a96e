package paper

import (
	"bytes"
	"strings"
	"testing"

	"bayhand/model/schedule"
)

// Each end of a cable is labelled with what is at that end, also where a signal comes back in
// the same cable: the send and the return of an insert are both at the desk.
func TestWrapsNameWhatIsAtTheirEnd(t *testing.T) {
	s := readStudio(t, `studio: Inserts
gear:
  desk: {inserts: {ins1: pro-line}}
bays:
  main: {pairs: 2, modes: half-normal}
wiring:
  - {from: desk/ins1.send, to: main/t1, cable: i1}
  - {from: main/b1, to: desk/ins1.return, cable: i1}
`)
	made := schedule.Of(s)
	if len(made.Cables) != 1 || len(made.Cables[0].Pairs) != 2 {
		t.Fatalf("%+v is no cable of two pairs", made.Cables)
	}
	var b bytes.Buffer
	if _, err := WrapsPDF(&b, Wiring{Groups: Grouped(s, made)}, A4); err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(outside(t, "pdftotext", "-layout", saved(t, b.Bytes()), "-")), " ")
	if strings.Contains(text, "...") || strings.Contains(text, "top") {
		t.Errorf("it says more than fits:\n%s", text)
	}
	for _, want := range []string{"desk insert 1", "main 1"} {
		if n := strings.Count(text, want); n != 2 {
			t.Errorf("%q is there %d times, not at both ends:\n%s", want, n, text)
		}
	}
}
