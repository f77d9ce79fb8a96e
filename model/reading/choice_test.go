package reading_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"bayhand/model/tones"
)

// outcome is what must come of an alternative on a kind of path in every trial.
type outcome string

const (
	misses outcome = "misses an output that is heard"
	names  outcome = "names an output that is not heard"
	right  outcome = "names all that is heard, and no more"
)

func (o outcome) holds(all finds, trials int) bool {
	switch o {
	case misses:
		return all.missed >= trials
	case names:
		return all.wrong >= trials
	}
	return all.missed <= all.heard/100 && all.wrong == 0
}

// certain is what theory says of alternatives; those that are quick are tried in every run.
// A shift or a slot is no name where the start is not known. What is not linear makes products
// of a sequence's shifts, which are shifts again (Golomb 1967). Codes of these lengths hide
// what is more than 48 dB under another, t(17)/(2^17-1) and s(16)/(2^16-1) (Gold, Kasami).
var certain = []struct {
	sound, kind string
	outcome     outcome
	quick       bool
}{
	{"m-sequence 17, shifts", "begins 0.9 s late", misses, true},
	{"m-sequence 17, shifts", "begins 0.9 s late", names, true},
	{"m-sequence 17, shifts", "overdriven", names, true},
	{"Gold 17", "-60 dB under 0 dB", misses, false},
	{"Kasami 16", "-60 dB under 0 dB", misses, false},
	{"sweeps, slots of 0.15 s", "begins 0.9 s late", misses, false},
	{"comb, random, silent shares", "begins 0.9 s late", right, true},
	{"comb, random, silent shares", "overdriven", right, true},
}

// Why it is a comb: each alternative in the rooms of TestPaths, trial by trial the same ones.
// BAYHAND_CHOICE is the number of trials from BAYHAND_FROM on, with 8, 32 and 128
// outputs, after each of which the table is printed; without it only what is certain and quick is tried, once.
func TestChoice(t *testing.T) {
	trials, first := count("BAYHAND_CHOICE", 0), count("BAYHAND_FROM", 0)
	for _, outputs := range []int{8, 32, 128} {
		if trials == 0 && outputs > 8 {
			continue
		}
		t.Run(strconv.Itoa(outputs), func(t *testing.T) {
			table := map[string]finds{}
			for _, sound := range alternatives {
				if trials == 0 && !expected(sound.name, "") {
					continue
				}
				t.Run(sound.name, func(t *testing.T) {
					a := sound.make(outputs)
					t.Logf("%.1f s of sound, crest %.1f dB", float64(a.timing.End-a.timing.Begin)/48000, crest(a.wave(0)))
					for k, kind := range kinds {
						if trials == 0 && !expected(sound.name, kind.name) {
							continue
						}
						t.Run(kind.name, func(t *testing.T) {
							all := a.tried(t, k, outputs, first, max(1, trials))
							table[sound.name+kind.name] = all
							t.Logf("%s: %s: missed %d/%d  false %d/%d", sound.name, kind.name, all.missed, all.heard, all.wrong, all.others)
							for _, c := range certain {
								if c.sound == sound.name && c.kind == kind.name && !c.outcome.holds(all, max(1, trials)) {
									t.Errorf("%s: not in each trial it %s", kind.name, c.outcome)
								}
							}
						})
					}
				})
			}
			t.Log(rows(table))
		})
	}
}

// expected says whether something certain and quick is known of a sound, on a kind of path
// or on any.
func expected(sound, kind string) bool {
	for _, c := range certain {
		if c.quick && c.sound == sound && (kind == "" || c.kind == kind) {
			return true
		}
	}
	return false
}

// tried counts what comes of trials on a kind of path, from a first one on.
func (a *alternative) tried(t *testing.T, kind, outputs, first, trials int) finds {
	all, waves := finds{}, map[int][]float64{}
	for trial := first; trial < first+trials; trial++ {
		r := &room{a, rand.New(rand.NewPCG(uint64(1000*kind+trial), uint64(outputs))), a.timing, waves}
		outs := r.random.Perm(outputs)
		samples, heard := kinds[kind].make(r, outs)
		all.count(t.Logf, a.read(recorded(r.noise(samples, -100))), outs, heard)
	}
	return all
}

// rows are the table: m is missed of those that are heard, f falsely found of the others.
func rows(table map[string]finds) string {
	var text strings.Builder
	for _, kind := range kinds {
		fmt.Fprintf(&text, "\n| %s |", kind.name)
		for _, sound := range alternatives {
			all, cell := table[sound.name+kind.name], ""
			if all.missed > 0 {
				cell += fmt.Sprintf(" m %d/%d", all.missed, all.heard)
			}
			if all.wrong > 0 {
				cell += fmt.Sprintf(" f %d/%d", all.wrong, all.others)
			}
			if cell == "" && all.heard > 0 {
				cell = " -"
			}
			text.WriteString(cell + " |")
		}
	}
	return text.String()
}

// crest is how far the peak of a wave lies above its rms while it sounds, in dB.
func crest(wave []float64) float64 {
	most, power, sounding := 0.0, 0.0, 0
	for _, x := range wave {
		if x != 0 {
			most, power, sounding = max(most, math.Abs(x)), power+x*x, sounding+1
		}
	}
	return tones.Decibel(most / math.Sqrt(power/float64(sounding)))
}
