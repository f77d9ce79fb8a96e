package paper

import (
	"bytes"
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/schedule"
	"bayhand/model/session"
)

// Where a name does not fit, the short label of the file stands instead of a name that is cut:
// on the form, on wraps and at the outputs of a matrix. Where it fits, it stands whole.
func TestShortLabelsStandWhereLongOnesDoNotFit(t *testing.T) {
	s := readStudio(t, `studio: School
gear:
  a: {label: Condenser microphone preamplifier with transformer number 1, short: PRE ONE, outputs: {out1-2: pro-line}}
  b: {label: Condenser microphone preamplifier with transformer number 2, outputs: {out1: {line: pro-line, label: the clean output of it all, short: CLEAN}}}
  c: {label: delay, short: DLY, inputs: {in1-2: pro-line}}
  d: {label: Reverberation chamber in the cellar under the stairs, short: CHAMBER, inputs: {in1: pro-line}}
  e: {label: Power amplifier of the loudspeakers in the control room, short: AMP, outputs: {out1: loudspeaker}}
  f: {label: left speaker, inputs: {in1: loudspeaker}}
bays:
  main: {pairs: 4, modes: isolated}
matrices:
  grid: {inputs: 2, outputs: 1}
wiring:
  - a/out1-2 -> main/t1-2
  - b/out1 -> main/t3
  - main/b1-2 -> c/in1-2
  - grid/out1 -> d/in1
  - e/out1 -> f/in1
`)
	room := heard.NewRoom(s)
	closed := patch.Patch{Crosspoints: []patch.Crosspoint{{Output: name.At("grid", "out", 1), Input: name.At("grid", "in", 1)}}}
	made := schedule.Of(s)
	for what, c := range map[string]struct {
		write      func(*bytes.Buffer) ([]Warning, error)
		want, lack []string
		times      int // how often each stands there: once in each part that names it
	}{
		"form": {func(b *bytes.Buffer) ([]Warning, error) { return BlankPDF(b, Wall{Room: room}, A4) },
			[]string{"PRE ONE out 1", "PRE ONE out 2", "number 2 CLEAN"}, []string{"DLY"}, 2},
		"wraps": {func(b *bytes.Buffer) ([]Warning, error) {
			return WrapsPDF(b, Wiring{Groups: Grouped(s, made)}, A4)
		}, []string{"PRE ONE out 1", "2 CLEAN", "delay in 1", "AMP out 1"}, []string{"DLY"}, 2},
		"matrix": {func(b *bytes.Buffer) ([]Warning, error) {
			return RecallPDF(b, FromOccasion(Occasion{Room: room, Session: &session.Session{}, Plan: &plan.Plan{Target: plan.Target(closed)}}), A4)
		}, []string{"CHAMBER in 1"}, nil, 1},
	} {
		var b bytes.Buffer
		if _, err := c.write(&b); err != nil {
			t.Fatal(err)
		}
		text := strings.Join(strings.Fields(outside(t, "pdftotext", "-layout", saved(t, b.Bytes()), "-")), " ")
		for _, w := range c.want {
			if n := strings.Count(text, w); n != c.times {
				t.Errorf("%s: %q is there %d times, not %d:\n%s", what, w, n, c.times, text)
			}
		}
		for _, w := range c.lack {
			if strings.Contains(text, w) {
				t.Errorf("%s: %q is there, though the whole name fits:\n%s", what, w, text)
			}
		}
	}
}
