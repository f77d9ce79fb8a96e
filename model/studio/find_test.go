package studio

import (
	"testing"

	"bayhand/model/name"
)

func TestIsJack(t *testing.T) {
	s := &Studio{
		Bays:     []Bay{{Name: "main", Modes: make([]Mode, 2)}},
		Gear:     []Gear{{Name: "desk"}},
		Matrices: []Matrix{{Name: "grid"}},
	}
	for text, want := range map[string]bool{"main/t1": true, "main/b2": true, "main/t3": false, "main/t0": false, "main/out1": false, "desk/t1": false, "grid/in1": false, "main/t1.send": false} {
		p, err := name.Parse(text)
		if err != nil {
			continue // it is no point at all
		}
		if s.IsJack(p) != want {
			t.Errorf("%s is a jack: %t", text, !want)
		}
	}
	if s.GearNamed("desk") != &s.Gear[0] || s.MatrixNamed("grid") != &s.Matrices[0] || s.BayNamed("main") != &s.Bays[0] {
		t.Error("what is found is not the studio's own")
	}
	if s.GearNamed("main") != nil || s.MatrixNamed("desk") != nil || s.BayNamed("grid") != nil {
		t.Error("something is found under a name of another kind")
	}
}
