package text_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/measure"
	"bayhand/model/studio"
)

func TestCablesAreRead(t *testing.T) {
	s := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	want := []studio.Cable{
		{Name: "stage-multi", Cores: 52, Shield: 98, Resistance: 0.09, Pairs: 16, Spare: measure.Metre},
		{Name: "pair", Cores: 50, Shield: 100, Resistance: 0.08, Pairs: 1, Spare: measure.Metre / 2},
		{Name: "pair-8", Cores: 50, Shield: 100, Resistance: 0.123, Pairs: 8, Spare: measure.Metre / 2, Colours: []string{"WH BU", "WH OG", "WH GN", "WH BN", "WH GY", "RD BU", "RD OG", "RDBK GN"}},
	}
	if diff := cmp.Diff(want, s.Cables); diff != "" {
		t.Errorf("kinds of cable (-want +got):\n%s", diff)
	}
	run := studio.Run{Cable: "d-sub-1", Plugs: [2]string{"d-sub", "bare"}, Kind: "pair-8", Length: 4 * measure.Metre, Cold: studio.ColdCarried, Shield: studio.ShieldDestination}
	if s.Wires[26].Run != run || s.Wires[25].Run != (studio.Run{}) {
		t.Errorf("wires are of %+v, and of %+v", s.Wires[26].Run, s.Wires[25].Run)
	}
	run = studio.Run{Kind: "stage-multi", Length: 12500 * measure.Millimetre, Cold: studio.ColdOpen, Shield: studio.ShieldSource}
	if s.Ties[0].Run != run || s.Ties[1].Run != run || s.Ties[2].Run != (studio.Run{}) {
		t.Errorf("ties are of %+v, %+v and %+v", s.Ties[0].Run, s.Ties[1].Run, s.Ties[2].Run)
	}
	if s.Reference != (studio.Reference{Said: true, FullScale: 18}) {
		t.Errorf("the reference is %+v", s.Reference)
	}
}

func TestBalancedKindsAreRead(t *testing.T) {
	s := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	for text, want := range map[string]studio.Line{
		"talkback/out1":   {Balanced: true, Stage: studio.ImpedanceStage, MinLoad: 600, LevelInto: 10e3},
		"recorder/in1":    {Balanced: true, Stage: studio.TransformerStage},
		"recorder/in2":    {Balanced: true},
		"old/out1":        {Balanced: true, Stage: studio.TransformerStage, MinLoad: 300, LevelInto: 600}, // true says no more
		"old/out2":        {MinLoad: 300, LevelInto: 600},
		"synth/out1":      {},
		"interface/out16": {Balanced: true},
	} {
		got := portOf(t, s, text).Line
		if got := (studio.Line{Balanced: got.Balanced, Stage: got.Stage, MinLoad: got.MinLoad, LevelInto: got.LevelInto}); got != want {
			t.Errorf("%s is %+v, want %+v", text, got, want)
		}
	}
	if m := s.Matrices[1]; m.Line.Name != "pro-line" || m.OutputsLine.Name != "tape-line" || s.Matrices[0].Line.Name != "" {
		t.Errorf("lines of shade are %s and %s, of grid %s", m.Line.Name, m.OutputsLine.Name, s.Matrices[0].Line.Name)
	}
}

func TestGearHasAPlace(t *testing.T) {
	s := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	if got := gearOf(t, s, "opto").Place; got != (studio.Place{Said: true, Rack: "left", Unit: 12}) {
		t.Errorf("opto stands at %+v", got)
	}
	if got := gearOf(t, s, "plate").Place; got != (studio.Place{Said: true, X: 2 * measure.Metre, Y: 40 * measure.Centimetre}) {
		t.Errorf("plate stands at %+v", got)
	}
	if got := gearOf(t, s, "squeeze").Place; got.Said {
		t.Errorf("squeeze stands at %+v", got)
	}
}
