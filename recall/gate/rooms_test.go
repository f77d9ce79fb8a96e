package gate_test

import (
	"errors"
	"testing"

	"bayhand/recall/keep"
)

// What is plugged in a room is told to the host that keeps it, and refused by others; what
// is in no room, and a cord with one end in a room of this host, is told here.
func TestAPlugInARoomOfAnotherHost(t *testing.T) {
	b := newBuilding(t)
	north, south := b.host("north"), b.host("south")
	for _, act := range []keep.Act{
		{Do: keep.Plugged, A: point(t, "far/t1"), B: point(t, "far/b2")},
		{Do: keep.Plugged, A: point(t, "far/t1")},
		{Do: keep.Faulty, A: point(t, "far/t1")},
		{Do: keep.Sound, A: point(t, "far/t1")},
	} {
		_, err := south.Act(t.Context(), act)
		if !errors.Is(err, keep.ErrConflict) || err.Error() != "far/t1 is in room live, which host north keeps; report it there: http://north:7420" {
			t.Errorf("%+v: %v", act, err)
		}
		b.do(north, act, nil)
		if act.Do == keep.Plugged {
			b.do(north, keep.Act{Do: keep.Pulled, A: act.A}, nil)
		}
	}
	b.do(south, keep.Act{Do: keep.Plugged, A: point(t, "core/b7"), B: point(t, "core/b8")}, nil)
	b.do(south, keep.Act{Do: keep.Plugged, A: point(t, "main/t1"), B: point(t, "far/b4")}, nil)
	_, err := south.Act(t.Context(), keep.Act{Do: keep.Moved, A: point(t, "main/t1"), B: point(t, "far/b1")})
	if !errors.Is(err, keep.ErrConflict) {
		t.Errorf("a plug that goes to another host's room: %v", err)
	}
}
