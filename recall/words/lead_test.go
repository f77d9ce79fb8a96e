package words

import (
	"testing"

	"bayhand/model/name"
	"bayhand/model/plan"
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
		if got := (&hands{&w.Places}).sourceFirst([]name.Point{port, jack}); (got[0] == port) != first {
			t.Errorf("%s: %v", port, got)
		}
	}
	if got := w.Point(guest); got != "Tape player line 1" {
		t.Errorf("the guest is called %q", got)
	}
}

// A guest of the name of gear is another piece: of what stands there nothing is said of it,
// neither a label, nor a direction, nor a switch.
func TestGuestIsAnotherPiece(t *testing.T) {
	port := func(label string, d studio.Direction) studio.Gear {
		return studio.Gear{Name: "amp", Ports: []studio.Port{{Point: name.At("amp", "aux", 1), Label: label, Direction: d}}}
	}
	there := port("Low Z", studio.Input)
	there.Label, there.Mute = "Old Amp", studio.Mute{ByPerson: true, At: "the rear switch"}
	jack := name.At("main", studio.Top, 1)
	room := In(&studio.Studio{Gear: []studio.Gear{there}, Bays: []studio.Bay{{Name: "main"}}})
	lead := plan.Step{Do: plan.PlugLead, Ends: []name.Point{name.At("amp", "aux", 1), jack}}
	mute := plan.Step{Do: plan.Mute, Ends: []name.Point{name.At("amp", "aux", 1)}}
	if got := room.Action(lead).String() + "; " + room.Action(mute).Also; got != "main 1 top -> Old Amp Low Z; at the rear switch" {
		t.Errorf("in the room: %s", got)
	}
	with := room.With([]studio.Gear{port("", studio.Output)})
	if got := with.Action(lead).String() + "; " + with.Action(mute).Also; got != "amp aux 1 -> main 1 top; " {
		t.Errorf("with the guest: %s", got)
	}
	if got := room.Action(lead).String(); got != "main 1 top -> Old Amp Low Z" {
		t.Errorf("the room afterwards: %s", got)
	}
}
