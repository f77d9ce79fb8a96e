package paper

import (
	"strings"
	"testing"
)

// Names in Finnish, Czech and Greek, one of forty letters, empty columns, a stereo
// pair, a mult and a tie: another program reads each of them on the page, within its
// run of columns.
func TestNamesAreReadInTheirRuns(t *testing.T) {
	for _, bay := range []string{"pairs: 24, jack: quarter-inch", "pairs: 48, jack: bantam"} {
		s := readStudio(t, `studio: Names
gear:
  a: {label: Äänikortti, outputs: {out1-4: pro-line}}
  b: {label: Předzesilovač, outputs: {out1-3: pro-line}}
  c: {label: Ενισχυτής, inputs: {in1-3: pro-line}}
  d: {label: the long valve limiter of the upper room, channels: 2, line: pro-line}
bays:
  main: {`+bay+`, modes: isolated}
  far: {pairs: 4, jack: bantam, modes: isolated}
wiring:
  - a/out1-4 -> main/t1-4
  - b/out1-3 -> main/t7-9
  - main/b1-3 -> c/in1-3
  - d/out1-2 -> main/t10-11
  - main/b10-11 -> d/in1-2
ties: [main/t13-16 = far/t1-4]
mults: [[main/t20, main/t21, main/b21]]
`)
		strips, path := labelsPDF(t, s, A4)
		read := wordsOn(t, path)
		seen := 0
		for _, one := range strips {
			for _, r := range one.Runs {
				for _, name := range strings.Fields(strings.Join(r.Text.Lines, " ")) {
					seen++
					left, right := stripMargin+millimetres(r.Left), stripMargin+millimetres(r.Right)
					within := false
					for _, w := range read {
						within = within || w.text == name && w.left >= left && w.right <= right
					}
					if !within {
						t.Errorf("%s: %q of %v is not read between %.2f and %.2f mm", bay, name, r.Text.Full, left, right)
					}
				}
			}
		}
		for _, name := range []string{"Äänikortti", "Předzesilovač", "Ενισχυτής"} {
			if !strings.Contains(textOf(read), name) {
				t.Errorf("%s: %s is nowhere on the page", bay, name)
			}
		}
		if seen < 10 {
			t.Errorf("only %d names stand on the strips", seen)
		}
	}
}

func textOf(read []word) string {
	var all []string
	for _, w := range read {
		all = append(all, w.text)
	}
	return strings.Join(all, " ")
}
