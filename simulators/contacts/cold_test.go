package contacts_test

import (
	"math"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/simulators/contacts"
	"bayhand/simulators/rooms"
)

// between is the level from leg to leg at an input, in dB: each leg of the
// output at half of the signal, against each other.
func between(t *testing.T, s *studio.Studio, p patch.Patch, in, out name.Point) float64 {
	t.Helper()
	panel, err := contacts.BuildCold(s, p)
	if err != nil {
		t.Fatal(err)
	}
	cold, err := panel.Measure()
	if err != nil {
		t.Fatal(err)
	}
	hot := measure(t, rooms.Room{Studio: s, Patch: p})
	return 20 * math.Log10(float64(hot.Level(in, out)+cold.Level(in, out))/2)
}

// A two-pole plug in the tap of a half-normal grounds the cold leg of all that
// is on its net: the balanced input on the normal loses half, 6.02 dB, though no
// plug was put into its own jack. (A balanced, not floating, output with one leg
// at ground: Ballou, Handbook for Sound Engineers.)
func TestATwoPolePlugIsFeltOnTheNormal(t *testing.T) {
	for _, c := range []struct {
		title   string
		mode    studio.Mode
		poles   int
		decibel float64
	}{
		{"three poles in the tap", studio.HalfNormal, 3, 0},
		{"nothing said is three poles", studio.HalfNormal, 0, 0},
		{"two poles in the tap", studio.HalfNormal, 2, -6.02},
		{"two poles on a parallel pair", studio.Parallel, 2, -6.02},
	} {
		t.Run(c.title, func(t *testing.T) {
			s, p := row{mode: c.mode, top: true}.room()
			p.Cords[0].Poles = c.poles
			got := between(t, s, p, name.At("d", "in", 1), name.At("s", "out", 1))
			if math.Abs(got-c.decibel) > 0.1 { // loading by two inputs is 0.09 dB
				t.Errorf("%.2f dB from leg to leg; the handbook has %.2f", got, c.decibel)
			}
		})
	}
}

// Unbalanced gear grounds the cold leg of a balanced output by itself.
func TestUnbalancedGearGroundsTheColdLeg(t *testing.T) {
	s, p := row{mode: studio.HalfNormal}.room()
	for i, g := range s.Gear {
		if g.Name == "d" {
			s.Gear[i].Ports[0].Line.Balanced = false
		}
	}
	got := between(t, s, p, name.At("d", "in", 1), name.At("s", "out", 1))
	if math.Abs(got+6.02) > 0.1 {
		t.Errorf("%.2f dB into an unbalanced input; the handbook has -6.02", got)
	}
}
