package page

import (
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// A step names the lines that go over it, and a guest by its label, also one of an
// earlier session whose lead is to be pulled.
func TestStepsNameLinesAndGuests(t *testing.T) {
	s := status(t)
	port, jack := name.At("stage-piano", "out", 1), at(t, "main/t7")[0]
	s.Guests = []keep.Guest{{Name: "stage-piano", Label: "Stage piano", Ports: []keep.GuestPort{{Port: port, Kind: "line"}}}}
	s.Left = []plan.Step{
		{ID: "1", By: plan.Person, Do: plan.PullLead, Ends: []name.Point{port, jack}, Because: "not needed"},
		{ID: "2", By: plan.Person, Do: plan.Plug, Ends: at(t, "main/t1", "main/b2"), Lines: []string{"crush", "verse"}, Because: "not needed"},
	}
	_, html := get(t, served(t, &fake{status: s}), "/")
	for _, want := range []string{"Stage piano out 1", "crush, verse"} {
		if !strings.Contains(html, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if strings.Contains(html, "stage-piano out 1") {
		t.Error("the guest stands there by its name in the file")
	}
}
