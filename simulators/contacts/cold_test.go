package contacts_test

import (
	"math"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/simulators/rooms"
)

// between is the level from leg to leg at an input, in dB.
func between(t *testing.T, s *studio.Studio, p patch.Patch, in, out name.Point) float64 {
	t.Helper()
	return 20 * math.Log10(math.Abs(float64(measure(t, rooms.Room{Studio: s, Patch: p}).Level(in, out))))
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

// A two-pole plug grounds the ring of its jack only as far as the sleeve of that
// jack is grounded: by the shield of a wire at its own rear, or by what the bay
// does with its sleeves. The schemes are those of the patch bay page of
// av-info.eu. Here the plug hangs from the bottom jack of a parallel pair, at
// whose rear no wire ends.
func TestTheShortOfATwoPolePlugNeedsTheSleeve(t *testing.T) {
	for _, c := range []struct {
		ground  studio.Ground
		wired   bool // a wire with a shield at the bottom jack
		decibel float64
	}{
		{studio.Separate, false, 0},
		{studio.GroundUnsaid, false, 0},
		{studio.Separate, true, -6.02},
		{studio.Bussed, false, -6.02},
		{studio.Strapped, false, -6.02},
	} {
		s := &studio.Studio{
			Gear: []studio.Gear{source("s"), destination("d"), destination("e")},
			Bays: []studio.Bay{{Name: "bay", Modes: []studio.Mode{studio.Parallel}, Ground: c.ground}},
		}
		top, bottom := s.Bays[0].TopJack(1), s.Bays[0].BottomJack(1)
		out, in := name.At("s", "out", 1), name.At("d", "in", 1)
		s.Wires = []studio.Wire{{From: out, To: top}, {From: out, To: in}}
		if c.wired {
			s.Wires = append(s.Wires, studio.Wire{From: bottom, To: name.At("e", "in", 1)})
		}
		p := patch.Patch{Cords: []patch.Cord{{A: bottom, Poles: 2}}}
		if got := between(t, s, p, in, out); math.Abs(got-c.decibel) > 0.1 {
			t.Errorf("sleeves %q, wired %v: %.2f dB from leg to leg; with the cold leg at ground or not it is %.2f", c.ground, c.wired, got, c.decibel)
		}
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
