package paper

import (
	"bytes"
	"strings"
	"testing"

	"bayhand/model/schedule"
	"bayhand/recall/words"
)

// The schedule calls each place as every other sheet does.
func TestTheScheduleCallsPlacesAsOthersDo(t *testing.T) {
	for _, src := range []string{`studio: Names
gear:
  desk: {label: Mixing desk, inserts: {ins1-2: pro-line}, inputs: {line-in1: pro-line, aux: {line: pro-line, label: aux return}}, outputs: {mix1: pro-line}}
  box-2: {channels: 1, line: pro-line}
bays:
  main: {pairs: 8, modes: isolated, rows: [a, b]}
  bay14: {pairs: 4, modes: isolated}
matrices: {grid: {label: router, inputs: 2, outputs: 2}}
boxes: {floor-1: {jacks: 2, jack: xlr}}
wiring:
  - desk/ins1-2.send -> main/t1-2
  - main/b1-2 -> desk/ins1-2.return
  - main/b3 -> desk/line-in1
  - main/b4 -> desk/aux
  - desk/mix1 -> bay14/t1
  - bay14/b1 -> box-2/in1
  - box-2/out1 -> grid/in1
ties: [floor-1/1 = main/t5, main/t6 = bay14/t3]
`} {
		s := readStudio(t, src)
		w := words.In(s)
		seen := 0
		for _, c := range schedule.Of(s).Cables {
			for _, p := range c.Pairs {
				for _, e := range []schedule.End{p.From, p.To} {
					seen++
					if want := w.Point(e.Point); e.Label != want {
						t.Errorf("%s is %q, and %q elsewhere", e.Point, e.Label, want)
					}
				}
			}
		}
		if seen < 18 {
			t.Errorf("%d ends: not a test", seen)
		}
	}
}

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
