package text

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/studio"
)

const wired = `# The room as it was in spring.
studio: Small
gear:
  desk: {outputs: {out1-4: pro-line}, inputs: {in1-4: pro-line}}   # a small one
  squeeze: {channels: 2, line: pro-line}
bays:
  main: {pairs: 8, modes: {1-4: half-normal, 5-8: isolated}}  # by the window
wiring:
  - desk/out1-4 -> main/t1-4   # the multicore
  # what comes back
  - main/b1-4 -> desk/in1-4
  - {from: squeeze/out1-2, to: main/t5-6, cable: "0007"}
`

func TestRewire(t *testing.T) {
	s, _, problems := ReadStudio("studio", []byte(wired))
	if problems.Errors() {
		t.Fatal(problems)
	}
	to := *s
	to.Wires = slices.Clone(s.Wires)
	for n, w := range to.Wires {
		switch w.From {
		case name.At("desk", "out", 3):
			to.Wires[n].To = name.At("main", "t", 7)
		case name.At("squeeze", "out", 2):
			to.Wires[n].To = name.At("main", "t", 8)
		}
	}
	to.Wires = append(to.Wires, studio.Wire{From: name.At("main", "b", 5), To: name.At("squeeze", "in", 1)},
		studio.Wire{From: name.At("main", "b", 6), To: name.At("squeeze", "in", 2)})
	to.Bays = slices.Clone(s.Bays)
	to.Bays[0].Modes = slices.Clone(s.Bays[0].Modes)
	to.Bays[0].Modes[3] = studio.FullNormal
	made, err := Rewire([]byte(wired), &to)
	if err != nil {
		t.Fatal(err)
	}
	want := strings.NewReplacer(
		"main/t1-4 ", "main/t1-2,7,4 ", "to: main/t5-6", `to: "main/t5,8"`, "{1-4: half-normal, 5-8: isolated}", "{1-3: half-normal, 4: normal, 5-8: isolated}",
	).Replace(wired) + "  - main/b5-6 -> squeeze/in1-2\n"
	if string(made) != want {
		t.Errorf("got\n%s\nwant\n%s", made, want)
	}
	// Nothing to do is nothing done.
	if same, err := Rewire([]byte(wired), s); err != nil || string(same) != wired {
		t.Errorf("what is as it was was changed: %v\n%s", err, same)
	}
}

// A room that has no wiring yet gets it at its end.
func TestRewireFromNothing(t *testing.T) {
	bare := wired[:strings.Index(wired, "wiring:")]
	s, _, _ := ReadStudio("studio", []byte(wired))
	made, err := Rewire([]byte(bare), s)
	if err != nil {
		t.Fatal(err)
	}
	if want := bare + "wiring:\n  - desk/out1-4 -> main/t1-4\n  - main/b1-4 -> desk/in1-4\n  - squeeze/out1-2 -> main/t5-6\n"; string(made) != want {
		t.Errorf("got\n%s\nwant\n%s", made, want)
	}
}

// What cannot be written as it is asked is an error, and no half of it.
func TestRewireRefuses(t *testing.T) {
	split := strings.Replace(wired, "desk/out1-4 -> main/t1-4", "desk/out1 -> [main/t1, main/t2]", 1)
	s, _, problems := ReadStudio("studio", []byte(split))
	if problems.Errors() {
		t.Fatal(problems)
	}
	to := *s
	to.Wires = slices.Clone(s.Wires)
	to.Wires[0].To = name.At("main", "t", 8)
	if made, err := Rewire([]byte(split), &to); err == nil {
		t.Errorf("written as\n%s", made)
	}
	if _, err := Rewire([]byte("studio: [\n"), s); err == nil {
		t.Error("a file that cannot be read was rewired")
	}
}

// The made-up studio with each pair of jacks exchanged is written, and reads so.
func TestRewireTheDemo(t *testing.T) {
	src, err := os.ReadFile(filepath.Join("..", "..", "cmd", "bayhand", "demo", "heron", "studio.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	s, _, problems := ReadStudio("studio.yaml", src)
	if problems.Errors() {
		t.Fatal(problems)
	}
	to := *s
	to.Wires = slices.Clone(s.Wires)
	turn := func(p name.Point) name.Point {
		if p.Owner == "main" && p.Number <= 16 {
			p.Number = 17 - p.Number
		}
		return p
	}
	for n, w := range to.Wires {
		to.Wires[n].From, to.Wires[n].To = turn(w.From), turn(w.To)
	}
	made, err := Rewire(src, &to)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Count(string(made), "#") != strings.Count(string(src), "#") {
		t.Error("comments were lost")
	}
}
