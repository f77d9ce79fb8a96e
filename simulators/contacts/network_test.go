package contacts

import (
	"math"
	"testing"

	"bayhand/model/measure"
)

// near compares to a relative tolerance; the network's own insulation and
// rounding are far below it.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s is %g; the published value is %g", what, got, want)
	}
}

// Loading of a source by a load, 20 log10(ZL / (ZS + ZL)): the voltage divider
// of the textbooks (Ballou, Handbook for Sound Engineers), values computed from
// it.
func TestLoading(t *testing.T) {
	for _, c := range []struct {
		source, load Ohm
		decibel      float64
	}{
		{600, 600, -6.0206}, {50, 10e3, -0.0433}, {150, 10e3, -0.1293}, {150, 1.5e3, -0.8279},
		{600, 10e3, -0.5061}, {200, 1e3, -1.5836}, {10e3, 10e3, -6.0206},
	} {
		var n Network
		at := n.Node()
		k := n.Source(at, c.source)
		n.Load(at, c.load)
		s := solve(t, &n)
		near(t, "loss in dB", 20*math.Log10(float64(s.Voltage(at, k))), c.decibel, 0.0002)
	}
}

// The current between two joined outputs, (V1 - V2) / (Z1 + Z2), by Ohm's law:
// +20 dBu against a silent output, 50 ohm each, gives 77.5 mA.
func TestFightCurrent(t *testing.T) {
	for _, c := range []struct {
		level  measure.Level
		each   Ohm
		milliA float64
	}{{20, 50, 77.5}, {24, 50, 122.8}, {24, 100, 61.4}} {
		var n Network
		at := n.Node()
		loud, silent := n.Source(at, c.each), n.Source(at, c.each)
		s := solve(t, &n)
		near(t, "fight current in mA", float64(s.Into(silent, loud))*c.level.Volts()*1e3, c.milliA, 0.06)
		near(t, "current out of the loud one in mA", -float64(s.Into(loud, loud))*c.level.Volts()*1e3, c.milliA, 0.06)
	}
}

// Two balanced sources that are joined and alone fight with all of the current
// that Ohm's law gives them, (V1 - V2) / (Z1 + Z2); apart, with none. Joined by
// their cold legs alone, as well.
func TestFight(t *testing.T) {
	for _, c := range []struct {
		title     string
		hot, cold bool // joined by these legs
		want      float64
	}{{"apart", false, false, 0}, {"both legs", true, true, 1}, {"hot legs", true, false, 1}, {"cold legs", false, true, 1}} {
		var n Network
		hot, cold, otherHot, otherCold := n.Node(), n.Node(), n.Node(), n.Node()
		one, other := n.Balanced(hot, cold, 100), n.Balanced(otherHot, otherCold, 600)
		if c.hot {
			n.Resistor(hot, otherHot, 0.001)
		}
		if c.cold {
			n.Resistor(cold, otherCold, 0.001)
		}
		s := solve(t, &n)
		near(t, c.title+": the share of the current", s.Fight(one, other), c.want, 1e-4)
		near(t, c.title+": the share of the current, the other way", s.Fight(other, one), c.want, 1e-4)
	}
}

// N equal sources through equal resistors onto one node give each 1/N of its
// voltage there: -6.02, -12.04 and -18.06 dB for 2, 4 and 8 (superposition).
func TestCombining(t *testing.T) {
	for count, decibel := range map[int]float64{2: -6.02, 4: -12.04, 8: -18.06} {
		var n Network
		at := n.Node()
		for range count {
			n.Source(at, 600)
		}
		s := solve(t, &n)
		near(t, "combining loss in dB", 20*math.Log10(float64(s.Voltage(at, 0))), decibel, 0.005)
	}
}

// The balanced bridge: no voltage across its middle, whatever stands there. By
// symmetry.
func TestBridge(t *testing.T) {
	var n Network
	top, left, right := n.Node(), n.Node(), n.Node()
	k := n.Source(top, 1)
	n.Resistor(top, left, 100)
	n.Resistor(top, right, 1000)
	n.Load(left, 200)
	n.Load(right, 2000)
	n.Resistor(left, right, 50)
	s := solve(t, &n)
	near(t, "voltage across the bridge", float64(s.Voltage(left, k)-s.Voltage(right, k)), 0, 1e-6)
}

func TestAResistanceOfNothingIsRefused(t *testing.T) {
	for _, r := range []Ohm{0, -5, Ohm(math.NaN())} {
		var n Network
		at := n.Node()
		n.Source(at, 50)
		n.Load(at, r)
		if _, err := n.Solve(); err == nil {
			t.Errorf("a resistance of %v was solved", r)
		}
	}
}

func solve(t *testing.T, n *Network) *Solved {
	t.Helper()
	s, err := n.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return s
}
