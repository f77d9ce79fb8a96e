package paper

import (
	"bytes"
	"strings"
	"testing"

	"bayhand/model/schedule"
)

// Every pair of a schedule is on its pages with its plugs, the same bytes each time.
func TestWiringHoldsEveryPair(t *testing.T) {
	s := readStudio(t, recalled)
	all := schedule.Of(s)
	l := Wiring{Studio: s.Name, Title: "Cable schedule", Groups: Grouped(s, all), Buy: all.Buy, BuyToo: true, Pins: true}
	var first, again, wraps bytes.Buffer
	for _, b := range []*bytes.Buffer{&first, &again} {
		if _, err := WiringPDF(b, l, A4); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(first.Bytes(), again.Bytes()) {
		t.Error("the same schedule gave other bytes")
	}
	path := saved(t, first.Bytes())
	embedded(t, path)
	text := strings.Join(strings.Fields(outside(t, "pdftotext", "-layout", path, "-")), " ")
	for _, c := range all.Cables {
		for _, p := range c.Pairs {
			if want := arrowed(PairText(p)); strings.Count(text, want) != 1 {
				t.Errorf("%q is on the pages %d times", want, strings.Count(text, want))
			}
		}
	}
	if _, err := WrapsPDF(&wraps, l, A4); err != nil {
		t.Fatal(err)
	}
	text = outside(t, "pdftotext", saved(t, wraps.Bytes()), "-")
	if n := strings.Count(text, "____"); n != 2*len(all.Cables) {
		t.Errorf("%d wraps for %d cables", n, len(all.Cables))
	}
}
