package capture_test

import (
	"slices"
	"testing"

	"bayhand/model/capture"
	"bayhand/model/heard"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// A loudspeaker that is muted at its own switch stays so in what is captured: a patch
// does not say it, and a recall would let it be heard. One that is not there any more is
// left out.
func TestCutLoudspeakersStayCut(t *testing.T) {
	s := studioA()
	s.Gear = append(s.Gear, studio.Gear{Name: "speakers", Role: studio.Loudspeaker, Ports: []studio.Port{{Point: point("speakers/in1"), Direction: studio.Input}}})
	guest := studio.Gear{Name: "wedge", Role: studio.Loudspeaker, Ports: []studio.Port{{Point: point("wedge/in1"), Direction: studio.Input}}}
	in := &session.Session{Guests: []studio.Gear{guest}, Cut: []string{"speakers", "wedge"}}
	got := capture.Within(heard.NewRoom(s), in, cords("main/t3", "main/b9"), "now")
	if !slices.Equal(got.Cut, []string{"speakers"}) {
		t.Errorf("cut are %v", got.Cut)
	}
}
