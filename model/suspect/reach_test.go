package suspect_test

import (
	"math"
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/model/suspect"
	"bayhand/simulators/contacts"
)

// loud adds loudspeakers to a room: on the bay, on a second bay, behind a matrix of
// amplifiers with some of the outputs, or straight on an output.
func (u *usual) loud() []name.Point {
	s := u.studio
	s.Gear = append(s.Gear, gear("speakers", 0, 2))
	speakers := []name.Point{name.At("speakers", "in", 1), name.At("speakers", "in", 2)}
	wire := func(from, to name.Point) { s.Wires = append(s.Wires, studio.Wire{From: from, To: to}) }
	switch u.random.IntN(4) {
	case 0:
		for _, in := range speakers {
			s.Bays[0].Modes = append(s.Bays[0].Modes, studio.Isolated)
			wire(s.Bays[0].BottomJack(s.Bays[0].Pairs()), in)
		}
	case 1:
		bay := studio.Bay{Name: "far", Ground: studio.Bussed, Modes: []studio.Mode{studio.Isolated, studio.Isolated}}
		s.Bays = append(s.Bays, bay)
		wire(bay.TopJack(1), speakers[0])
		wire(bay.TopJack(2), speakers[1])
	case 2:
		m := studio.Matrix{Name: "grid", Inputs: 4, Outputs: 2, Kind: studio.Amplifiers}
		s.Matrices = append(s.Matrices, m)
		s.Gear[0].Ports = append(s.Gear[0].Ports, studio.Port{Point: name.At("interface", "mon", 1), Direction: studio.Output, Line: line})
		wire(name.At("interface", "mon", 1), m.In(1))
		wire(m.Out(1), speakers[0])
		wire(m.Out(2), speakers[1])
	case 3:
		s.Gear[0].Ports = append(s.Gear[0].Ports, studio.Port{Point: name.At("interface", "mon", 1), Direction: studio.Output, Line: line})
		wire(name.At("interface", "mon", 1), speakers[0])
	}
	return speakers
}

// No output that is allowed to play comes to a loudspeaker, whatever one mistake
// is planted in the metal; and where the loudspeakers hang on what no cord reaches,
// the outputs on the bay may play. BAYHAND_SAFE says how many rooms.
func TestNothingPlaysIntoALoudspeaker(t *testing.T) {
	allowed, left := 0, 0
	for seed := range countOf("BAYHAND_SAFE", 60) {
		u := draw(uint64(7000+seed), 4, 1)
		guarded := u.loud()
		s := suspect.Setup{Room: heard.NewRoom(u.studio), Patch: u.patch, Inputs: guarded}
		for _, p := range u.studio.Gear[0].Ports {
			if p.Direction == studio.Output {
				s.Outputs = append(s.Outputs, p.Point)
			}
		}
		out := map[name.Point]bool{}
		for _, r := range suspect.New(s).Reaches() {
			out[r.Output] = true
		}
		allowed, left = allowed+len(s.Outputs)-len(out), left+len(out)
		for range 4 {
			p, ok := u.plant(kinds[u.random.IntN(len(kinds))])
			if !ok {
				continue
			}
			room := u.studio
			if p.studio != nil {
				room = p.studio
			}
			b, err := contacts.BuildWith(room, p.patch, p.faults)
			if err != nil {
				t.Fatal(err)
			}
			metal, err := b.Measure()
			if err != nil {
				t.Fatal(err)
			}
			for _, o := range s.Outputs {
				if in, at := arrives(u, metal, o, guarded); in && !out[o] {
					t.Errorf("room %d, %s at %v: %v plays into %v", seed, p.code, p.at, o, at)
				}
			}
		}
	}
	t.Logf("%d outputs may play, %d are left out", allowed, left)
	if allowed == 0 || left == 0 {
		t.Errorf("%d allowed and %d left out prove nothing", allowed, left)
	}
}

// arrives follows an output through metal and gear.
func arrives(u *usual, metal *contacts.Readings, out name.Point, guarded []name.Point) (bool, name.Point) {
	sources := []name.Point{out}
	for k := 0; k < len(sources); k++ {
		for _, in := range metal.Inputs() {
			if math.Abs(float64(metal.Level(in, sources[k]))) < 0.01 {
				continue
			}
			if slices.Contains(guarded, in) {
				return true, in
			}
			for _, g := range u.studio.Gear {
				for _, p := range g.Passes {
					if p.In == in && !slices.Contains(sources, p.Out) {
						sources = append(sources, p.Out)
					}
				}
			}
		}
	}
	return false, name.Point{}
}
