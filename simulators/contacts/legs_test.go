package contacts_test

import (
	"math"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/simulators/contacts"
)

// legs is what a fault of one cord does to a line, as a factor against the good
// one: by nodal analysis of the circuits of balanced lines in the handbooks
// (Ballou, Handbook for Sound Engineers; Whitlock, Balanced lines in audio
// systems, 1995: from memory), computed by hand with sources of 50 ohm a leg and
// loads of 10 kohm a leg.
var legs = []legsRow{
	{"active", func(l *studio.Line) { l.Stage = studio.ActiveStage }, 0.5, 0.5, -1, 0.5, -0.5, -0.5},
	{"impedance", func(l *studio.Line) { l.Stage = studio.ImpedanceStage }, 0, 1, -1, 1, 0, -1},
	{"unbalanced", func(l *studio.Line) { l.Balanced = false }, 0, 1, -1, 1, 0, -1},
}

type legsRow struct {
	name   string
	line   func(*studio.Line)
	hot    float64
	cold   float64
	turned float64
	poles  float64
	near   float64
	far    float64
}

func TestLegs(t *testing.T) {
	for _, c := range legs {
		good := c.read(t, nil, 3)
		for what, f := range map[string]struct {
			fault contacts.Fault
			poles int
			want  float64
		}{
			"hot dead":     {contacts.Fault{Hot: contacts.Open}, 3, c.hot},
			"cold dead":    {contacts.Fault{Cold: contacts.Open}, 3, c.cold},
			"reversed":     {contacts.Fault{Reversed: true}, 3, c.turned},
			"two poles":    {contacts.Fault{}, 2, c.poles},
			"half in near": {contacts.Fault{HalfIn: [2]bool{true, false}}, 3, c.near},
			"half in far":  {contacts.Fault{HalfIn: [2]bool{false, true}}, 3, c.far},
		} {
			var faults []contacts.Fault
			if f.fault != (contacts.Fault{}) {
				faults = []contacts.Fault{f.fault}
			}
			if got := c.read(t, faults, f.poles) / good; math.Abs(got-f.want) > 0.02 {
				t.Errorf("%s, %s: %.3f of the good level, not %.3f", c.name, what, got, f.want)
			}
		}
	}
}

// read is the level at an input of 10 kohm a leg through one cord.
func (c legsRow) read(t *testing.T, faults []contacts.Fault, poles int) float64 {
	t.Helper()
	bay := studio.Bay{Name: "bay", Ground: studio.Bussed, Modes: []studio.Mode{studio.Isolated, studio.Isolated}}
	from, to := source("s"), destination("d")
	from.Ports[0].Line.Source, to.Ports[0].Line.Load = 100, 20e3
	c.line(&from.Ports[0].Line)
	s := &studio.Studio{Gear: []studio.Gear{from, to}, Bays: []studio.Bay{bay}, Wires: []studio.Wire{
		{From: name.At("s", "out", 1), To: bay.TopJack(1)},
		{From: bay.BottomJack(2), To: name.At("d", "in", 1)},
	}}
	cord := patch.Cord{A: bay.TopJack(1), B: bay.BottomJack(2), Poles: poles}
	for i := range faults {
		faults[i].Cord = cord
	}
	b, err := contacts.BuildWith(s, patch.Patch{Cords: []patch.Cord{cord}}, faults)
	if err != nil {
		t.Fatal(err)
	}
	metal, err := b.Measure()
	if err != nil {
		t.Fatal(err)
	}
	return float64(metal.Level(name.At("d", "in", 1), name.At("s", "out", 1)))
}
