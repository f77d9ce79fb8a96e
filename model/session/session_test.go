package session_test

import (
	"testing"

	"bayhand/model/session"
	"bayhand/model/studio"
)

// Panels count programs from 0 or from 1, on a guest's as on the studio's gear
// (the wire has 0 to 127: MIDI 1.0, Program Change).
func TestPanelNumber(t *testing.T) {
	s := &session.Session{Guests: []studio.Gear{{Name: "hall", MIDI: &studio.MIDI{First: 1}}}}
	of := &studio.Studio{Gear: []studio.Gear{{Name: "plate", MIDI: &studio.MIDI{First: 1}}, {Name: "delay", MIDI: &studio.MIDI{}}, {Name: "desk"}}}
	for gear, want := range map[string]int{"hall": 6, "plate": 6, "delay": 5, "desk": 5, "nobody": 5} {
		if got := s.PanelNumber(of, session.Program{Gear: gear, Number: 5}); got != want {
			t.Errorf("program 5 of %s is %d on its panel, not %d", gear, got, want)
		}
	}
}
