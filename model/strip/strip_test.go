package strip_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bayhand/model/measure"
	"bayhand/model/strip"
	"bayhand/model/studio"
	"bayhand/model/text"
)

func read(t testing.TB, src string) *studio.Studio {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(src))
	if problems.Errors() {
		t.Fatalf("%v", problems)
	}
	return s
}

const labelled = `studio: Labelled
gear:
  interface: {outputs: {out1-16: pro-line}, inputs: {in1-16: pro-line}}
  comp: {label: Two-channel compressor, short: COMP, channels: 2, line: pro-line}
  eq: {label: Kaksikanavainen taajuuskorjain studioon, channels: 2, line: pro-line}
  voice: {label: preamplifier, inputs: {mic1-2: {line: microphone, phantom: true}}, outputs: {out1-2: pro-line}}
  speakers: {inputs: {in1-2: pro-line}, role: loudspeaker, mute: {by: person, at: knob}}
bays:
  main: {pairs: 24, jack: bantam, modes: {1-4: half-normal, 5-8: normal, 9: half-normal-top, 10-22: isolated, 23-24: parallel}}
  far: {pairs: 4, jack: quarter-inch, pitch: 15.875 mm, modes: isolated, rows: [x, y], strips: {above: 10 mm, between: 0 mm, below: 10 mm, lead-in: 4 mm}}
wiring:
  - interface/out1-4 -> main/t1-4
  - comp/out1-2 -> main/t5-6
  - main/b5-6 -> comp/in1-2
  - eq/out1 -> main/t7
  - main/b7 -> eq/in1
  - main/b9-10 -> voice/mic1-2
  - main/b11-12 -> speakers/in1-2
  - {from: interface/out5-6, to: main/t13-14, cable: "0007"}
ties: [main/t15-16 = far/t1-2, main/b15 = far/b1]
mults: [[main/t23, main/t24]]
`

func strips(t testing.TB, s *studio.Studio, bay int, o strip.Options) map[strip.Row][]strip.Strip {
	t.Helper()
	all := map[strip.Row][]strip.Strip{}
	for _, one := range strip.Of(s, s.Bays[bay], o) {
		all[one.Row] = append(all[one.Row], one)
	}
	return all
}

func says(s strip.Strip) []string {
	var all []string
	for _, r := range s.Runs {
		var cells []string
		for _, c := range s.Cells {
			if c.Column >= min(r.First, r.Last) && c.Column <= max(r.First, r.Last) {
				cells = append(cells, strings.Join(c.Text.Lines, "/"))
			}
		}
		all = append(all, fmt.Sprintf("%d-%d %s: %s", r.First, r.Last, strings.Join(r.Text.Lines, "/"), strings.Join(cells, " ")))
	}
	return all
}

func TestWhatStandsOnStrips(t *testing.T) {
	s := read(t, labelled)
	for row, want := range map[strip.Row][]string{
		strip.Above: {"1-4 interface out: 1 2 3 4", "5-6 COMP out: 1 2", "7-7 Kkskn tjsk/stdn out: 1", "13-14 interface out: 5 6", "15-16 far x: 1 2", "23-24 mult: A A"},
		strip.Below: {"5-6 COMP in: 1 2", "7-7 Kkskn tjsks/stdn in: 1", "9-10 preamplifier mic 48 V: 1 2", "11-12 speakers in LOUD: 1 2", "15-15 far y: 1", "23-24 mult: A A"},
	} {
		got := says(strips(t, s, 0, strip.Options{})[row][0])
		// How far a text must be cut is the font's business.
		for _, all := range [][]string{got, want} {
			for i, s := range all {
				if strings.HasPrefix(s, "7-7 ") {
					all[i] = s[:5]
				}
			}
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s:\n%q, want\n%q", row, got, want)
		}
	}
}

// Centres count from the strip's left end: lead-in, and a pitch for each column.
// 24 columns of 5/8 in are 365.125 mm from first to last (EIA-310 panels; common
// practice, no published source).
// What the panel calls left and right is called so on the strip, once.
func TestLeftAndRight(t *testing.T) {
	s := read(t, "studio: A\ngear:\n  desk: {outputs: {mix1: {line: pro-line, label: mix L}, mix2: {line: pro-line, label: mix R}, cue1: {line: pro-line, label: cues}}}\n"+
		"bays: {main: {pairs: 4, modes: isolated}}\nwiring: [desk/mix1-2 -> main/t1-2, desk/cue1 -> main/t3]\n")
	above := strip.Of(s, s.Bays[0], strip.Options{Ruler: strip.BuiltIn()})[0]
	var all []string
	for _, run := range above.Runs {
		all = append(all, strings.Join(run.Text.Lines, " "))
	}
	for _, c := range above.Cells {
		all = append(all, strings.Join(c.Text.Lines, " "))
	}
	if got := strings.Join(all, "|"); got != "desk mix|desk cue|L|R|cues|" {
		t.Errorf("on the strip stands %q", got)
	}
}

func TestGeometry(t *testing.T) {
	s := read(t, labelled)
	far := strips(t, s, 1, strip.Options{})
	if len(far[strip.Between]) != 0 {
		t.Error("a strip of 0 mm is made")
	}
	above := far[strip.Above][0]
	if want := 2*4*measure.Millimetre + 3*15875*measure.Micrometre; above.Length != want || above.Height != 10*measure.Millimetre {
		t.Errorf("the strip is %v by %v, want %v by 10 mm", above.Length, above.Height, want)
	}
	if c := above.Cells[0]; c.Centre != 4*measure.Millimetre || c.Left != 0 || c.Right != c.Centre+15875*measure.Micrometre/2 {
		t.Errorf("the first cell is %+v", c)
	}
	wide := read(t, "studio: W\nbays: {q: {pairs: 24, jack: quarter-inch, modes: isolated}}\n")
	cells := strips(t, wide, 0, strip.Options{})[strip.Above][0].Cells
	if got := cells[23].Centre - cells[0].Centre; got != 365125*measure.Micrometre {
		t.Errorf("24 columns are %v from first to last", got)
	}
}

// 277 mm of paper hold 17 columns of 15.875 mm, so that 24 are cut as 12 and 12.
func TestStripsAreCutEvenlyBetweenColumns(t *testing.T) {
	s := read(t, "studio: W\nbays: {q: {pairs: 24, jack: quarter-inch, modes: isolated}, r: {pairs: 17, jack: quarter-inch, modes: isolated}}\n")
	pieces := strips(t, s, 0, strip.Options{Paper: 277 * measure.Millimetre})[strip.Above]
	if len(pieces) != 2 || len(pieces[0].Cells) != 12 || len(pieces[1].Cells) != 12 {
		t.Fatalf("cut into %d pieces", len(pieces))
	}
	if pieces[0].Tab != strip.Tab || pieces[1].Tab != 0 {
		t.Errorf("tabs are %v and %v", pieces[0].Tab, pieces[1].Tab)
	}
	if sum := pieces[0].Length + pieces[1].Length; sum != strip.Length(s.Bays[0]) {
		t.Errorf("the pieces are %v together", sum)
	}
	if whole := strips(t, s, 1, strip.Options{Paper: 277 * measure.Millimetre})[strip.Above]; len(whole) != 1 {
		t.Errorf("17 columns are cut into %d pieces", len(whole))
	}
}

func TestTheRearIsMirrored(t *testing.T) {
	s := read(t, labelled)
	rear := strips(t, s, 0, strip.Options{Rear: true})[strip.RearTop][0]
	if first, last := rear.Cells[0], rear.Cells[23]; first.Column != 24 || last.Column != 1 || first.Centre >= last.Centre {
		t.Errorf("from behind the columns go from %d to %d", first.Column, last.Column)
	}
	if got := says(rear); !slices.Contains(got, "14-13 0007: 14 13") {
		t.Errorf("the number of the cable is missing: %q", got)
	}
}

func TestCautions(t *testing.T) {
	s := read(t, labelled)
	below := strips(t, s, 0, strip.Options{})[strip.Below][0]
	for column, want := range map[int]strip.Caution{8: "", 9: strip.Phantom, 10: strip.Phantom, 11: strip.Loud, 12: strip.Loud, 13: ""} {
		if got := below.Cells[column-1].Caution; got != want {
			t.Errorf("column %d has the caution %q, want %q", column, got, want)
		}
	}
}

// Phantom power feeds back along the microphone line (IEC 61938), and so through the
// normal of the pair: the jack that the microphone is wired to carries it as much as the
// jack of the preamplifier. Where nothing joins the two it does not.
func TestPhantomComesThroughNormals(t *testing.T) {
	for mode, want := range map[string]strip.Caution{
		"normal": strip.Phantom, "half-normal": strip.Phantom, "half-normal-top": strip.Phantom, "parallel": strip.Phantom, "isolated": "",
	} {
		s := read(t, `studio: Microphones on a bay
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: {line: microphone, phantom: true}}}
bays: {stage: {pairs: 2, modes: {1: `+mode+`, 2: isolated}}}
wiring: [mics/out1 -> stage/t1, stage/b1 -> voice/mic1]
normals: [stage/t2 -> stage/b1]
`)
		above := strips(t, s, 0, strip.Options{})[strip.Above][0]
		if got := above.Cells[0].Caution; got != want {
			t.Errorf("%s: the jack of the microphone has the caution %q, want %q", mode, got, want)
		}
		if got := above.Cells[1].Caution; got != strip.Phantom {
			t.Errorf("%s: the jack with a normal strapped to the preamplifier's has the caution %q", mode, got)
		}
	}
}

// What a person hears is marked where its line ends, and not at the outputs whose normals
// feed it.
func TestLoudStandsAtLoudspeakersAndHeadphones(t *testing.T) {
	for _, role := range []string{"loudspeaker", "headphone"} {
		s := read(t, `studio: Monitors
gear:
  desk: {outputs: {mix1: pro-line}}
  heard: {inputs: {in1: pro-line}, role: `+role+`, mute: {by: person, at: knob}}
bays: {main: {pairs: 1, modes: half-normal}}
wiring: [desk/mix1 -> main/t1, main/b1 -> heard/in1]
`)
		all := strips(t, s, 0, strip.Options{})
		if above, below := all[strip.Above][0].Cells[0].Caution, all[strip.Below][0].Cells[0].Caution; above != "" || below != strip.Loud {
			t.Errorf("of a %s the cautions are %q above and %q below", role, above, below)
		}
	}
}

// A jack that leads to the input of a power amplifier is as loud as one that leads to a
// loudspeaker with its amplifier inside.
func TestLoudStandsAtPowerAmplifiers(t *testing.T) {
	s := read(t, `studio: Monitors
gear:
  desk: {outputs: {mix1: pro-line}}
  power: {inputs: {in1: pro-line}, outputs: {out1: loudspeaker}, passes: [in1 -> out1]}
bays: {main: {pairs: 1, modes: half-normal}}
wiring: [desk/mix1 -> main/t1, main/b1 -> power/in1]
`)
	all := strips(t, s, 0, strip.Options{})
	if above, below := all[strip.Above][0].Cells[0].Caution, all[strip.Below][0].Cells[0].Caution; above != "" || below != strip.Loud {
		t.Errorf("the cautions are %q above and %q below", above, below)
	}
}

func TestFittingGoesInItsOrder(t *testing.T) {
	s := read(t, labelled)
	above := strips(t, s, 0, strip.Options{})[strip.Above][0]
	if short := above.Runs[1].Text; short.Lines[0] != "COMP out" || short.Squeeze != 1 || short.Cut {
		t.Errorf("the short form is not taken as it is: %+v", short)
	}
	if cut := above.Runs[2].Text; !cut.Cut || cut.Size != 4.5 || cut.Squeeze != 0.85 || cut.Write != "gear eq" || cut.Full != "Kaksikanavainen taajuuskorjain studioon out" {
		t.Errorf("a text that cannot fit: %+v", cut)
	}
	remarks := strip.Remarks([]strip.Strip{above})
	if len(remarks) != 1 || remarks[0].Hint != "write short: at gear eq" || !strings.Contains(remarks[0].String(), "had to be cut") {
		t.Errorf("remarks are %v", remarks)
	}
}

// A working strip has the names of a session's lines at the jacks that they use.
func TestLinesOfASession(t *testing.T) {
	s := read(t, labelled)
	in, _, problems := text.ReadSession("s.yaml", []byte("session: S\nconnect: [violin: interface/out2 -> comp/1 -> interface/in1]\n"), s, nil)
	if problems.Errors() {
		t.Fatal(problems)
	}
	got := says(strips(t, s, 0, strip.Options{Session: in})[strip.Above][0])
	if got[0] != "1-4 interface out: 1 violin 3 4" || got[1] != "5-6 COMP out: violin 2" {
		t.Errorf("%q", got[:2])
	}
}

// Whatever the labels: each text fits its cell, no two jacks with something behind
// them read the same, and what was cut is said.
func TestAnyLabels(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		letters := rapid.SampledFrom([]rune("abcdefgh aeiouÄäöčřžůαβγδέώжщы 12"))
		label := rapid.Custom(func(rt *rapid.T) string {
			return "x" + rapid.StringOfN(letters, 0, 40, -1).Draw(rt, "label")
		})
		pairs := rapid.IntRange(16, 48).Draw(rt, "pairs")
		jack := rapid.SampledFrom([]string{"bantam", "quarter-inch"}).Draw(rt, "jack")
		src := "studio: Drawn\ngear:\n"
		wiring := "wiring:\n"
		column := 1
		for i := 0; column <= pairs; i++ {
			wide := rapid.IntRange(1, min(4, pairs-column+1)).Draw(rt, "wide")
			src += fmt.Sprintf("  g%d: {label: %q, outputs: {out1-%d: pro-line}}\n", i, label.Draw(rt, "gear"), wide)
			for n := range wide {
				wiring += fmt.Sprintf("  - g%d/out%d -> m/t%d\n", i, n+1, column+n)
			}
			column += wide + rapid.IntRange(0, 2).Draw(rt, "empty")
		}
		src += fmt.Sprintf("bays: {m: {pairs: %d, jack: %s, modes: isolated}}\n", pairs, jack) + wiring
		s := read(t, src)
		ruler := strip.BuiltIn()
		paper := measure.Length(rapid.SampledFrom([]int{0, 190, 277}).Draw(rt, "paper")) * measure.Millimetre
		read := map[string]string{}
		for _, one := range strip.Of(s, s.Bays[0], strip.Options{Paper: paper}) {
			for _, r := range one.Runs {
				fits(rt, ruler, r.Text, r.Right-r.Left)
			}
			for _, c := range one.Cells {
				fits(rt, ruler, c.Text, c.Right-c.Left)
				for _, r := range one.Runs {
					if one.Row == strip.Between || c.Column < r.First || c.Column > r.Last {
						continue
					}
					reading := strings.Join(r.Text.Lines, " ") + "|" + strings.Join(c.Text.Lines, " ")
					if other := read[reading]; other != "" && other != c.Jack.String() {
						rt.Fatalf("%s and %v both read %s", other, c.Jack, reading)
					}
					read[reading] = c.Jack.String()
				}
			}
		}
	})
}

func fits(rt *rapid.T, ruler strip.Ruler, text strip.Text, room measure.Length) {
	for _, line := range text.Lines {
		if wide := float64(ruler(line, text.Bold, text.Size)) * text.Squeeze; measure.Length(wide) > room-2*300*measure.Micrometre {
			rt.Fatalf("%q is %v wide in a cell of %v", line, measure.Length(wide), room)
		}
	}
	if !text.Cut && !text.Alike && text.Full != "" && strings.Join(text.Lines, " ") != strings.Join(strings.Fields(text.Full), " ") {
		rt.Fatalf("%q stands as %q, and nothing is said of it", text.Full, text.Lines)
	}
}
