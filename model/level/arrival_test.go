package level_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/level"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/text"
)

// arriving is what arrives at x/in1 in a studio whose lines are given; the
// source is s/out1.
func arriving(t *testing.T, o level.Options, lines ...string) level.Arrival {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte("studio: One way\n"+strings.Join(lines, "\n")+"\n"))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	all := level.New(heard.NewRoom(s), s.Rest, o).At(name.At("x", "in", 1))
	if len(all) != 1 {
		t.Fatalf("%d sources arrive", len(all))
	}
	return all[0]
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 5e-4 {
		t.Errorf("%s is %.4f, want %.4f", what, got, want)
	}
}

// home-line into a balanced input: -10 dBV is -7.782 dBu, and 1 kohm into 10 kohm
// costs 0.828 dB: -8.609 dBu, 12.609 under +4. Derived from the voltage divider
// and the definitions of both levels.
func TestHomeLineIntoProfessional(t *testing.T) {
	a := arriving(t, level.Options{}, "gear: {s: {outputs: {out1: home-line}}, x: {inputs: {in1: pro-line}}}", "wiring: [s/out1 -> x/in1]")
	near(t, "the level", a.Arrives.Low, -8.609)
	near(t, "over", a.Over.High, -12.609)
	near(t, "the loss", a.Loss.Low, 0.828)
	near(t, "the ratio", *a.Ratio, 10)
	if a.Length != nil || a.Treble != nil || a.Corner != nil || len(a.Known) != 1 {
		t.Errorf("without a length the treble is %v and the corner %v; %v", a.Treble, a.Corner, a.Known)
	}
	if !a.Arrives.Exact() || a.Undecided() {
		t.Errorf("nothing is undecided, but the level is %v", a.Arrives)
	}
}

// A cross-coupled output with its cold leg grounded keeps its level and clips
// 6.02 dB earlier; an active one loses 6.02 dB and clips as before; of one that
// nobody described both ends are told.
func TestColdLegGrounded(t *testing.T) {
	for _, c := range []struct {
		kind                      string
		low, high, least, most    float64
		shorted, undecided, early bool
	}{
		{"cross-coupled", 3.914, 3.914, 13.979, 13.979, false, false, false},
		{"transformer", 3.914, 3.914, 20, 20, false, false, false},
		{"impedance", 3.957, 3.957, 20, 20, false, false, false},
		{"active", -2.064, -2.064, 20, 20, true, false, false},
		{"true", -2.064, 3.957, 13.979, 20, false, true, false},
	} {
		a := arriving(t, level.Options{}, "gear: {s: {outputs: {out1: {line: pro-line, balanced: "+c.kind+"}}}, x: {inputs: {in1: {line: pro-line, max: +30 dBu, balanced: false}}}}", "wiring: [s/out1 -> x/in1]")
		near(t, c.kind+": the low end", a.Arrives.Low, c.low)
		near(t, c.kind+": the high end", a.Arrives.High, c.high)
		near(t, c.kind+": the least headroom", a.Headroom.Low, c.least)
		near(t, c.kind+": the most headroom", a.Headroom.High, c.most)
		if a.Shorted() != c.shorted || a.Undecided() != c.undecided || a.Early() != c.early {
			t.Errorf("%s is shorted %v, undecided %v, early %v", c.kind, a.Shorted(), a.Undecided(), a.Early())
		}
		if len(a.Cold) != 1 || a.Cold[0].By != level.ByInput || a.Cold[0].AtSource {
			t.Errorf("%s is grounded by %+v", c.kind, a.Cold)
		}
	}
	// +4 dBu is 1.228 V: half of it through half of 100 ohm is 12.28 mA.
	a := arriving(t, level.Options{}, "gear: {s: {outputs: {out1: pro-line}}, x: {inputs: {in1: pro-line}}}", "wiring: [s/out1 -> x/in1]")
	near(t, "the current in mA", 1000*level.ColdCurrent(a.Source.Line, 4), 12.2765)
}

// Through a matrix of amplifiers each side has its own divider: 0.828 and
// 0.0864 dB.
func TestThroughAmplifiers(t *testing.T) {
	matrix := "matrices: {grid: {inputs: 1, outputs: 1%s}}"
	rest := "cables: {pair: {resistance: 0 ohm/m}}\nrest: {crosspoints: {grid: {out1: in1}}}"
	gear := "gear: {s: {outputs: {out1: {line: pro-line, source: 1 kohm}}}, x: {inputs: {in1: {line: pro-line, max: +30 dBu}}}}"
	wiring := "wiring: [{from: s/out1, to: grid/in1, length: 10 m}, {from: grid/out1, to: x/in1, length: 5 m}]"
	a := arriving(t, level.Options{}, gear, strings.Replace(matrix, "%s", ", line: pro-line", 1), wiring, rest)
	near(t, "the loss", a.Loss.Low, 0.8279+0.0864)
	near(t, "the headroom", a.Headroom.Low, 20)
	if *a.Length != 15*measure.Metre || len(a.Known) > 0 {
		t.Errorf("the way is %v long; %v", *a.Length, a.Known)
	}
	a = arriving(t, level.Options{}, gear, strings.Replace(matrix, "%s", "", 1), wiring, rest)
	near(t, "the loss of a matrix that nobody described", a.Loss.Low, 0)
	if len(a.Known) != 2 {
		t.Errorf("of its inputs and outputs is said %v", a.Known)
	}
	// A matrix that clips at +10 dBu does so first.
	low := strings.Replace(matrix, "%s", ", line: low", 1)
	lines := "lines: {low: {kind: line, level: +4 dBu, max: +10 dBu, source: 100 ohm, load: 10 kohm, balanced: true}}"
	a = arriving(t, level.Options{}, lines, gear, low, wiring, rest)
	near(t, "the headroom", a.Headroom.Low, 6+0.8279)
	if a.Clips != name.At("grid", "in", 1) || !a.Early() {
		t.Errorf("%v clips first", a.Clips)
	}
}

// 600 ohm whose level is given into 600 ohm gives 6.02 dB more into a bridging
// input, but for the divider of 0.506 dB.
func TestLevelIntoALoad(t *testing.T) {
	a := arriving(t, level.Options{}, "gear: {s: {outputs: {out1: {line: pro-line, source: 600 ohm, level-into: 600 ohm, min-load: 600 ohm}}}, x: {inputs: {in1: pro-line}}}", "wiring: [s/out1 -> x/in1]")
	near(t, "the level", a.Arrives.Low, 4+6.0206-0.5061)
	if a.Forbidden() {
		t.Error("10 kohm is forbidden where 600 ohm may be")
	}
	a = arriving(t, level.Options{}, "gear: {s: {outputs: {out1: {line: pro-line, min-load: 600 ohm}}}, x: {inputs: {in1: {line: pro-line, load: 500 ohm}}}}", "wiring: [s/out1 -> x/in1]")
	if !a.Forbidden() {
		t.Error("500 ohm is not forbidden where 600 ohm may be")
	}
}

// An active output that is opened in the cable to the unbalanced input gives that half of
// its voltage, and a balanced input on the tap all of it; opened at the output it gives half to
// both, as each leg drives half of the voltage. What 100 ohm lose into both inputs is within
// the 0.2 dB.
func TestWhereTheColdLegIsOpened(t *testing.T) {
	const gear = "gear: {s: {outputs: {out1: {line: pro-line, balanced: active}}}, echo: {inputs: {in1: {line: pro-line, balanced: false}}}, x: {inputs: {in1: {line: pro-line, balanced: active}}}}"
	const room = "bays: {main: {pairs: 2, modes: {1: half-normal, 2: isolated}}}\nrest: {cords: [main/t1 - main/b2]}\n"
	for wiring, want := range map[string]float64{
		"[s/out1 -> main/t1, {from: main/b1, to: echo/in1, cold: open}, main/b2 -> x/in1]": 0,
		"[{from: s/out1, to: main/t1, cold: open}, main/b1 -> echo/in1, main/b2 -> x/in1]": -6.02,
	} {
		a := arriving(t, level.Options{}, gear, room+"wiring: "+wiring)
		if a.Shorted() || math.Abs(a.Over.Low-want) > 0.2 || !a.Over.Exact() {
			t.Errorf("%s: %v dB against what is wanted (shorted %v), want about %.2f", wiring, a.Over, a.Shorted(), want)
		}
	}
}

// What a load takes counts against the load at which the level is given: into its matched
// load nothing is lost, and two of them, 300 ohm, take 20 log10(900/300) - 6.021 = 3.522
// dB (the voltage divider; Ballou, Handbook for Sound Engineers).
func TestLoadingCountsFromTheRatedLoad(t *testing.T) {
	const source = "{line: pro-line, source: 600 ohm, level-into: 600 ohm}"
	for inputs, want := range map[string]float64{"in1: {line: pro-line, load: 600 ohm}": 0, "in1-2: {line: pro-line, load: 600 ohm}": 3.522, "in1: pro-line": 0} {
		ports, _, _ := strings.Cut(inputs, ":")
		a := arriving(t, level.Options{}, "gear: {s: {outputs: {out1: "+source+"}}, x: {inputs: {"+inputs+"}}}", "wiring: [s/out1 -> x/"+ports+"]")
		if math.Abs(a.Loading()-want) > 0.001 {
			t.Errorf("%s takes %.3f dB, want %.3f", inputs, a.Loading(), want)
		}
	}
}

// 600 ohm and 10 kohm with 100 m of 100 pF/m: 28,117 Hz, by an independent
// simulator; the built-in pair shows a balanced signal 50 + 100/2 pF/m. Its 15.6
// ohm take a thousandth of that.
func TestAssumedLength(t *testing.T) {
	a := arriving(t, level.Options{Assume: 100 * measure.Metre}, "gear: {s: {outputs: {out1: {line: pro-line, source: 600 ohm}}}, x: {inputs: {in1: pro-line}}}", "wiring: [s/out1 -> x/in1]")
	if *a.Length != 100*measure.Metre || !a.Estimated || math.Abs(*a.Corner/28117-1) > 0.02 || math.Abs(a.Treble.Low+1.7726) > 0.05 || !a.Dull() {
		t.Errorf("over %v (estimated %v) the corner is %v and the treble %v", *a.Length, a.Estimated, *a.Corner, *a.Treble)
	}
}

func TestArrivalsAsJSON(t *testing.T) {
	a := arriving(t, level.Options{}, "gear: {s: {outputs: {out1: pro-line}}, x: {inputs: {in1: {line: pro-line, balanced: false}}}}", "wiring: [{from: s/out1, to: x/in1, length: 4 m}]")
	encoded, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"destination":"x/in1"`, `"source":"s/out1"`, `"wants":4`, `"length":4000`, `"load":10000`, `"ratio":100`, `"known":[]`, `"arrives":[-2.06`} {
		if !strings.Contains(string(encoded), want) {
			t.Errorf("no %s in %s", want, encoded)
		}
	}
	if strings.Contains(string(encoded), "f3") {
		t.Errorf("a corner beyond 1 MHz is told: %s", encoded)
	}
}
