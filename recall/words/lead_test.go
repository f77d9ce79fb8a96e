package words

import (
	"testing"

	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// A lead is plugged from its source on, and pulled from its destination on. The studio,
// or the session that brought the gear, says which end that is, whatever the port is
// called; of a port that nobody described its name tells.
func TestLeadsGoInSourceFirst(t *testing.T) {
	jack := name.At("main", "b", 3)
	input, output := name.At("box", "feed", 1), name.At("amp", "inner", 1)
	guest := name.At("player", "line", 1)
	w := In(&studio.Studio{Gear: []studio.Gear{
		{Name: "box", Ports: []studio.Port{{Point: input, Direction: studio.Input}}},
		{Name: "amp", Ports: []studio.Port{{Point: output, Direction: studio.Output}}},
	}}).Of(&session.Session{Guests: []studio.Gear{{Name: "player", Label: "Tape player", Ports: []studio.Port{{Point: guest, Direction: studio.Input}}}}})
	for port, first := range map[name.Point]bool{
		input: false, output: true, guest: false,
		name.At("synth", "out", 1): true, name.At("recorder", "in", 1): false, name.At("horn", "mic", 1): true,
	} {
		if got := w.sourceFirst([]name.Point{port, jack}); (got[0] == port) != first {
			t.Errorf("%s: %v", port, got)
		}
	}
	if got := w.Point(guest); got != "Tape player line 1" {
		t.Errorf("the guest is called %q", got)
	}
}
