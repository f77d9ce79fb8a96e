package words

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/plan"
	"bayhand/recall/keep"
)

func TestMissing(t *testing.T) {
	w := room(t)
	for _, c := range []struct{ want, because, wantSaid, becauseSaid string }{
		{"interface/out1-2 -> squeeze/in1-2", "they take 2 cords, and there is 1", "interface out 1-2 -> compressor in 1-2", "they take 2 cords, and there is 1"},
		{"organ/out1 -> [main/b2, squeeze/in1]", "it would be possible if far/t7 were not faulty", "organ left -> [main 2 bottom, compressor in 1]", "it would be possible if Far wall a7 were not faulty"},
		{"interface/out1 -> main/b2", "they take 2 mults, and there is 1 (main/t21-22, main/b21-22); main/t3, main/b3", "interface out 1 -> main 2 bottom",
			"they take 2 mults, and there is 1 (main 21-22, top and bottom); main 3, top and bottom"},
		{"interface/out1 -> main/b2", "of main/t3-4, main/b5-6 and main/t7, far/b7 one is tagged", "interface out 1 -> main 2 bottom",
			"of main 3-4 top, main 5-6 bottom and main 7 top, Far wall b7 one is tagged"},
		{"interface/out1 -> main/b2", "a mult (far/t1-2, far/b1-2)", "interface out 1 -> main 2 bottom", "a mult (Far wall a1-2, Far wall b1-2)"},
		// Ports with labels and what the studio does not have are no ranges to say.
		{"organ/out1-2 -> main/b2-3", "desk/out1-2 is not there", "organ/out1-2 -> main 2-3 bottom", "desk/out1-2 is not there"},
	} {
		got := w.Missing([]plan.Missing{{Want: c.want, Because: c.because}})
		if got[0].Want != c.wantSaid || got[0].Because != c.becauseSaid {
			t.Errorf("%q, %q is %q, %q", c.want, c.because, got[0].Want, got[0].Because)
		}
	}
}

// A report and the plan that was made anew for it are one line and its consequence.
func TestHistoryOfReports(t *testing.T) {
	pull := plan.Step{Do: plan.Pull, Ends: at(t, "main/t7", "main/b1")}
	var got []string
	for _, h := range History([]keep.Event{
		{Kind: keep.PersonDid, Step: &pull, Text: "pull main/t7 - main/b1", By: "ann", At: time.Unix(0, 0)},
		{Kind: keep.Replanned, Text: "re-planned: reported: pull main/t7 - main/b1"},
		{Kind: keep.PersonDid, Text: "main/t13 is faulty"},
		{Kind: keep.Replanned, Text: "re-planned: main/t13 is faulty"},
		{Kind: keep.Replanned, Text: "re-planned: grid is online again"},
	}, nil) {
		got = append(got, h.Text)
	}
	want := []string{
		"reported: unplug main/t7 - main/b1 (ann)", "re-planned for that", "reported: main/t13 is faulty", "re-planned for that",
		"re-planned: grid is online again",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// A session whose rooms are ready is said to be, though steps are left in other rooms.
func TestReadyBesideOtherRooms(t *testing.T) {
	left := []plan.Step{{By: plan.Person, Do: plan.Plug}}
	room := func(name, session string, p keep.Phase) keep.RoomStatus {
		return keep.RoomStatus{Room: name, Session: session, Phase: p}
	}
	for _, c := range []struct {
		rooms []keep.RoomStatus
		want  string
	}{
		{nil, "cords to plug"},
		{[]keep.RoomStatus{room("live", "concert", keep.Waiting), room("mix", "sum", keep.Given)}, "ready; in live: cords to plug"},
		{[]keep.RoomStatus{room("live", "concert", keep.Waiting), room("mix", "sum", keep.Given), room("shed", "takes", keep.Waiting)}, "ready; in live and shed: cords to plug"},
		{[]keep.RoomStatus{room("live", "concert", keep.Given), room("mix", "sum", keep.Waiting)}, "cords to plug"},
		{[]keep.RoomStatus{room("live", "sum", keep.Given), room("mix", "sum", keep.Waiting), room("shed", "takes", keep.Waiting)}, "cords to plug"},
		{[]keep.RoomStatus{room("live", "concert", keep.Given), room("mix", "sum", keep.Stuck)}, "cords to plug"},
	} {
		if got := In(nil).Standing(keep.Status{Session: "sum", Phase: keep.Waiting, Left: left, Rooms: c.rooms}); got != c.want {
			t.Errorf("%v is %q, want %q", c.rooms, got, c.want)
		}
	}
}

// Who is stopped is sent to where it is said why.
func TestStopped(t *testing.T) {
	missing := &plan.Plan{Missing: []plan.Missing{{Want: "a/out1 -> b/in1"}}}
	notGiven := keep.Problem{Code: "not-given", Severity: "error"}
	for _, c := range []struct {
		status keep.Status
		want   string
	}{
		{keep.Status{Phase: keep.Stuck, Plan: missing, Problems: []keep.Problem{notGiven}}, "stopped: some connections not possible"},
		{keep.Status{Phase: keep.Stuck, Plan: missing, Problems: []keep.Problem{notGiven, {Code: "no-answer", Severity: "error"}}}, "stopped: see problems"},
		{keep.Status{Phase: keep.Stuck}, "stopped: see problems"},
	} {
		if got := In(nil).Standing(c.status); got != c.want {
			t.Errorf("%v is %q, want %q", c.status.Problems, got, c.want)
		}
	}
}
