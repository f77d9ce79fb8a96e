package keep

import (
	"testing"

	"bayhand/model/patch"
	"bayhand/model/plan"
)

// A room that nobody keeps is as far as its journal has it: an undo to what was in before
// any session is on its way as a recall is, and one room's does not make the others idle.
func TestHowFarARememberedRoomIs(t *testing.T) {
	left := []plan.Step{{ID: "1", By: plan.Person, Do: plan.Pull}}
	others := []Held{{Session: "tern", Rooms: []string{"mix"}}}
	for _, c := range []struct {
		in   Intent
		want Phase
	}{
		{Intent{}, Idle},
		{Intent{Session: "heron", Left: left}, Waiting},
		{Intent{Session: "heron", Given: true}, Given},
		{Intent{Session: "heron"}, Stuck},
		{Intent{Back: &patch.Patch{}, Left: left}, Waiting},
		{Intent{Back: &patch.Patch{}, Left: left, Others: others}, Waiting},
		{Intent{Others: others, Given: true}, Given},
	} {
		if got := leftIn(c.in); got != c.want {
			t.Errorf("%+v is %s, want %s", c.in, got, c.want)
		}
	}
}
