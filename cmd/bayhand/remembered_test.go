package main

import (
	"testing"

	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// A room that nobody keeps is as far as its journal has it: an undo to what was in before
// any session is on its way as a recall is, and one room's does not make the others idle.
func TestHowFarARememberedRoomIs(t *testing.T) {
	left := []plan.Step{{ID: "1", By: plan.Person, Do: plan.Pull}}
	others := []keep.Held{{Session: "tern", Rooms: []string{"mix"}}}
	for _, c := range []struct {
		in   keep.Intent
		want keep.Phase
	}{
		{keep.Intent{}, keep.Idle},
		{keep.Intent{Session: "heron", Left: left}, keep.Waiting},
		{keep.Intent{Session: "heron", Given: true}, keep.Given},
		{keep.Intent{Session: "heron"}, keep.Stuck},
		{keep.Intent{Back: &patch.Patch{}, Left: left}, keep.Waiting},
		{keep.Intent{Back: &patch.Patch{}, Left: left, Others: others}, keep.Waiting},
		{keep.Intent{Others: others, Given: true}, keep.Given},
	} {
		if got := leftIn(c.in); got != c.want {
			t.Errorf("%+v is %s, want %s", c.in, got, c.want)
		}
	}
}
