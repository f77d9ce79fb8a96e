package sound_test

import (
	"math"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/simulators/contacts"
	"bayhand/simulators/sound"
)

// One cord from an output of 100 ohm to an input of 20 kohm loses 20 log10
// (20000/20100) = 0.043 dB, by the voltage divider of the textbooks; with one leg
// dead 6.02 dB more; and from the sample on from which the cord is out there is
// silence.
func TestOneCord(t *testing.T) {
	line := studio.Line{Kind: studio.LineLevel, Source: 100, Load: 20e3, Balanced: true}
	bay := studio.Bay{Name: "bay", Ground: studio.Bussed, Modes: []studio.Mode{studio.Isolated, studio.Isolated}}
	out, in := name.At("i", "out", 1), name.At("i", "in", 1)
	s := &studio.Studio{
		Gear: []studio.Gear{{Name: "i", Ports: []studio.Port{
			{Point: out, Direction: studio.Output, Line: line}, {Point: in, Direction: studio.Input, Line: line}}}},
		Bays:  []studio.Bay{bay},
		Wires: []studio.Wire{{From: out, To: bay.TopJack(1)}, {From: bay.BottomJack(2), To: in}},
	}
	cord := patch.Cord{A: bay.TopJack(1), B: bay.BottomJack(2)}
	plugged := patch.Patch{Cords: []patch.Cord{cord}}
	r := &sound.Room{Studio: s, Outputs: []name.Point{out}, Inputs: []name.Point{in}, States: []sound.State{
		{Patch: plugged},
		{From: 100, Patch: plugged, Faults: []contacts.Fault{{Cord: cord, Hot: contacts.Open}}},
		{From: 200},
	}}
	played := make([]float32, 300)
	for i := range played {
		played[i] = 0.5
	}
	got, err := r.Record([][]float32{played})
	if err != nil {
		t.Fatal(err)
	}
	for at, want := range map[int]float64{0: -0.043, 99: -0.043, 100: -6.04, 199: -6.04} {
		if level := 20 * math.Log10(float64(got[0][at])/0.5); math.Abs(level-want) > 0.05 {
			t.Errorf("sample %d is %.3f dB, not %.3f", at, level, want)
		}
	}
	if math.Abs(float64(got[0][200])) > 1e-4 {
		t.Errorf("without a cord %g arrives", got[0][200])
	}
	if _, err := r.Record(nil); err == nil {
		t.Error("playing to no output is not refused")
	}
}
