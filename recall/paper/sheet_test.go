package paper

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

func point(t testing.TB, text string) name.Point {
	t.Helper()
	p, err := name.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func points(t testing.TB, texts ...string) []name.Point {
	t.Helper()
	var all []name.Point
	for _, s := range texts {
		all = append(all, point(t, s))
	}
	return all
}

func boathouse(t testing.TB) *studio.Studio {
	t.Helper()
	wire := func(from, to string) studio.Wire { return studio.Wire{From: point(t, from), To: point(t, to)} }
	return &studio.Studio{
		Name: "Heron Boathouse",
		Gear: []studio.Gear{
			{Name: "interface"},
			{Name: "squeeze", Label: "Two-channel compressor"},
			{Name: "synth", Ports: []studio.Port{{Point: point(t, "synth/out1"), Direction: studio.Output, Label: "left out"}}},
			{Name: "speakers", Label: "Loudspeakers", Role: studio.Loudspeaker, Mute: studio.Mute{ByPerson: true, At: "monitor cut"}},
		},
		Bays: []studio.Bay{
			{Name: "main", Modes: make([]studio.Mode, 48)},
			{Name: "far", Label: "Far wall", Rows: [2]string{"a", "b"}, Modes: make([]studio.Mode, 8)},
		},
		Matrices: []studio.Matrix{{Name: "grid", Label: "Grid", Inputs: 16, Outputs: 16, Device: &studio.Device{}}},
		Wires: []studio.Wire{
			wire("interface/out1", "main/t1"), wire("interface/out3", "main/t3"),
			wire("main/b25", "squeeze/in1"), wire("main/b28", "squeeze/in2"),
		},
		Ties: []studio.Tie{{A: point(t, "main/b40"), B: point(t, "far/t1")}},
	}
}

func evening(t testing.TB) *plan.Plan {
	t.Helper()
	at := func(s ...string) []name.Point { return points(t, s...) }
	return &plan.Plan{
		Session: "tern-mix-2",
		Steps: []plan.Step{
			{ID: "6", By: plan.Person, Do: plan.Mute, Ends: at("speakers/in1", "speakers/in2"), Because: "their path changes in step 1"},
			{ID: "7", By: "grid", Do: plan.Switch, After: []string{"6"}, Because: "wanted by connect[3]", Crosspoints: []plan.Change{
				{Output: point(t, "grid/out1"), Input: point(t, "grid/in5")}, {Output: point(t, "grid/out2"), Was: point(t, "grid/in1")},
			}},
			{ID: "2", By: plan.Person, Do: plan.Pull, Ends: at("main/b26", "main/t2"), Length: 30 * measure.Centimetre, After: []string{"6"}, Because: "nothing asks for it"},
			{ID: "1", By: plan.Person, Do: plan.Plug, Ends: at("main/t1", "main/b25"), Length: 30 * measure.Centimetre, After: []string{"7", "2"}, Because: "the vocal goes through the compressor"},
			{ID: "3", By: plan.Person, Do: plan.MoveEnd, Ends: at("main/t3", "main/b27"), To: at("main/t3", "main/b28"), Length: 60 * measure.Centimetre},
			{ID: "8", By: plan.Person, Do: plan.Plug, Ends: at("main/b40", "far/b2"), Length: 120 * measure.Centimetre},
			{ID: "4", By: plan.Person, Do: plan.PlugDummy, Ends: at("main/b4"), Because: "breaks the normal from interface out 4"},
			{ID: "9", By: plan.Person, Do: plan.PlugLead, Ends: at("synth/out1", "main/b25")},
			{ID: "10", By: plan.Person, Do: plan.Unmute, Ends: at("speakers/in1", "speakers/in2"), After: []string{"1", "3"}},
		},
		Missing: []plan.Missing{{Want: "synth/out2 -> interface/in3", Because: "no free tie between far and main"}},
		Losses:  []plan.Loss{{Destination: point(t, "interface/in3"), Source: point(t, "synth/out1")}},
	}
}

func eveningSheet(t testing.TB) Sheet {
	return FromPlan(boathouse(t), evening(t), Caption{
		Session: &session.Session{Title: "Tern Quartet, second mix"},
		Date:    time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC),
		Note:    "A made-up studio.",
	})
}

// long is the same evening in a room whose labels are as long as labels get, in
// scripts of single and of double width.
func long(t testing.TB) Sheet {
	s := boathouse(t)
	s.Name = "Das Bootshaus am Reiher mit dem Aufnahmeraum im ersten Stock und der Werkstatt darunter"
	s.Bays[0].Label = "Große Steckfeldwand neben dem Fenster"
	s.Gear[1].Label = "二チャンネル圧縮器（窓側の棚、上から三段目にあるもの）"
	s.Gear[3].Label = "Donaudampfschifffahrtsgesellschaftslautsprecheranlagenverstärkerausgangsbuchsenpaar"
	s.Matrices[0].Label = "Ελληνικός πίνακας"
	return FromPlan(s, evening(t), Caption{Session: &session.Session{Title: "Четвёртый вечер: крачки над водой и ветер с моря, вторая запись квартета"}})
}

// many is a night of sixty cords.
func many(t testing.TB) Sheet {
	p := &plan.Plan{Session: "long-night"}
	for i := 1; i <= 60; i++ {
		p.Steps = append(p.Steps, plan.Step{
			ID: fmt.Sprint(i), By: plan.Person, Do: plan.Plug, Length: 30 * measure.Centimetre,
			Ends:    points(t, fmt.Sprintf("main/t%d", i), fmt.Sprintf("main/b%d", i+60)),
			Because: "wanted by the session",
		})
	}
	s := boathouse(t)
	s.Bays[0].Modes = make([]studio.Mode, 120)
	return FromPlan(s, p, Caption{Date: time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)})
}

func TestFromStatusLeavesOutWhatIsDone(t *testing.T) {
	p := evening(t)
	status := keep.Status{
		Studio: "Heron Boathouse", Session: "tern-mix-2", Plan: p, Left: p.Steps[2:],
		Problems: []keep.Problem{{Message: "grid does not answer\x1b[2J"}},
	}
	sheet := FromStatus(nil, status, Caption{})
	if sheet.Studio != "Heron Boathouse" || sheet.Session != "tern-mix-2" {
		t.Errorf("title is %q in %q", sheet.Session, sheet.Studio)
	}
	if got := sheet.Lines[1].After; !cmp.Equal(got, []string{"2"}) {
		t.Errorf("step 1 waits for %v, want only 2: steps 6 and 7 are done", got)
	}
	if len(sheet.Loses) != 1 || len(sheet.Missing) != 1 {
		t.Errorf("the outcome of the plan is lost: %+v", sheet)
	}
	if len(sheet.Problems) != 1 || strings.ContainsRune(sheet.Problems[0], '\x1b') {
		t.Errorf("problems are %q; an escape must not reach a terminal", sheet.Problems)
	}
}

// Where rooms hold several sessions, the notes and settings of each stand on the sheet,
// after the rooms that they are about; a session in two rooms stands there once.
func TestFromStatusTellsOfEveryRoom(t *testing.T) {
	all := map[string]*session.Session{
		"concert": {Title: "Concert", Notes: "The choir.\nLoud.", Settings: []session.Settings{{Gear: "stage", Values: []session.Setting{{Name: "gain", Value: "3 dB"}}}}},
		"mixdown": {Title: "Mixdown", Notes: "Low end."},
	}
	c := Caption{Session: all["mixdown"], Held: func(called string) *session.Session { return all[called] }}
	status := keep.Status{Session: "mixdown", Rooms: []keep.RoomStatus{{Room: "live", Session: "concert"}, {Room: "mix", Session: "mixdown"}, {Room: "hall", Session: "concert"}, {Room: "attic"}}}
	sheet := FromStatus(nil, status, c)
	if diff := cmp.Diff([]string{"live and hall: The choir.", "live and hall: Loud.", "mix: Low end."}, sheet.Notes); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"live and hall: stage: gain 3 dB"}, sheet.Settings); diff != "" {
		t.Error(diff)
	}
	if text := written(t, sheet, 80); !strings.Contains(text, "About these sessions\n  live and hall: The choir.") {
		t.Error(text)
	}
}

func TestFromPlanKeepsItsInput(t *testing.T) {
	p := evening(t)
	FromPlan(boathouse(t), p, Caption{})
	if diff := cmp.Diff(evening(t), p); diff != "" {
		t.Errorf("the plan was changed: %s", diff)
	}
}
