package heard_test

import (
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
)

func pass(t *testing.T, in, out string) studio.Pass {
	return studio.Pass{In: point(t, in), Out: point(t, out)}
}

// switched is a room with a bus that is fed by its own outputs, one at a time,
// an input that a front socket takes over, and a box.
func switched(t *testing.T) *studio.Studio {
	bus := gear(t, "bus", []string{"mix1", "alt1"}, []string{"in1"})
	bus.Passes = []studio.Pass{pass(t, "bus/in1", "bus/mix1"), pass(t, "bus/in1", "bus/alt1")}
	bus.Selects = []studio.Select{{Choices: [][]name.Point{{point(t, "bus/mix1")}, {point(t, "bus/alt1")}}}}
	pre := gear(t, "pre", []string{"out1"}, []string{"in1", "front1"})
	pre.Passes = []studio.Pass{pass(t, "pre/in1", "pre/out1")}
	pre.Overrides = []studio.Override{{Front: point(t, "pre/front1"), Rear: point(t, "pre/in1")}}
	return &studio.Studio{
		Gear:  []studio.Gear{bus, pre, gear(t, "tape", []string{"out1"}, nil)},
		Bays:  []studio.Bay{{Name: "main", Modes: slices.Repeat([]studio.Mode{studio.Isolated}, 4)}},
		Boxes: []studio.Box{{Name: "floor-a", Sockets: 2}},
		Matrices: []studio.Matrix{{Name: "grid", Inputs: 4, Outputs: 4, Kind: studio.Amplifiers, HighImpedance: true,
			Stereo: [][]name.Point{{point(t, "grid/out1"), point(t, "grid/out2")}}}},
		Wires: []studio.Wire{
			{From: point(t, "tape/out1"), To: point(t, "pre/in1")},
			{From: point(t, "main/b1"), To: point(t, "bus/in1")},
			{From: point(t, "bus/mix1"), To: point(t, "main/t2")},
			{From: point(t, "bus/alt1"), To: point(t, "main/t3")},
		},
		Ties: []studio.Tie{{A: point(t, "floor-a/1"), B: point(t, "main/t1")}},
	}
}

func corded(t *testing.T, a, b string) patch.Patch {
	return patch.Patch{Cords: []patch.Cord{cord(t, a, b)}}
}

// A pass to an output that is not selected does not hold; the first choice
// stands where no session says otherwise.
func TestSelected(t *testing.T) {
	room := heard.NewRoom(switched(t))
	alt := room.For(&session.Session{Selections: []session.Selection{{Gear: "bus", Ports: []name.Point{point(t, "bus/alt1")}}}})
	for _, c := range []struct {
		name  string
		room  *heard.Room
		jack  string
		loops int
	}{
		{"first choice", room, "main/t2", 1},
		{"first choice, the other output", room, "main/t3", 0},
		{"other choice, the first output", alt, "main/t2", 0},
		{"other choice", alt, "main/t3", 1},
		{"what stands in a session that says nothing", alt.For(&session.Session{}), "main/t3", 1},
	} {
		if loops := c.room.Hear(corded(t, c.jack, "main/b1")).Loops(nil, nil); len(loops) != c.loops {
			t.Errorf("%s: %d loops, want %d", c.name, len(loops), c.loops)
		}
	}
	if passes := room.Studio().Gear[0].Passes; !slices.Equal(passes, []studio.Pass{pass(t, "bus/in1", "bus/mix1")}) {
		t.Errorf("the passes that hold are %v", passes)
	}
	if out := heard.Unselected(switched(t).Gear[0]); !slices.Equal(out, []name.Point{point(t, "bus/alt1")}) {
		t.Errorf("out of use are %v", out)
	}
}

// While something is plugged in the socket at the front, the input at the rear
// hears nothing, reaches nothing and passes nothing on.
func TestFrontSocketTakesOver(t *testing.T) {
	room := heard.NewRoom(switched(t))
	lead := patch.Patch{Leads: []patch.Lead{{Port: point(t, "pre/front1"), Jack: point(t, "main/t4")}}}
	hears := func(s *heard.State) int { return len(s.Hears(point(t, "pre/in1"))) }
	live := room.Live(patch.Patch{})
	if hears(live.State) != 1 || len(live.Reaches(point(t, "tape/out1"))) != 1 || len(live.Origins(point(t, "pre/in1"), nil)) != 1 {
		t.Error("the input does not hear what is wired to it")
	}
	live.Change(patch.Patch{}, lead)
	for _, s := range []*heard.State{live.State, room.Hear(lead)} {
		if hears(s) != 0 || len(s.Reaches(point(t, "tape/out1"))) != 0 || len(s.Origins(point(t, "pre/in1"), nil)) != 0 || len(s.Ways(point(t, "pre/in1"))) != 0 {
			t.Error("an input that is taken over is heard of")
		}
		if !s.Joined(point(t, "tape/out1"), point(t, "pre/in1")) {
			t.Error("metal stays joined whoever listens")
		}
	}
	live.Change(lead, patch.Patch{})
	if hears(live.State) != 1 {
		t.Error("the input does not hear again")
	}
	wired := switched(t)
	wired.Wires = append(wired.Wires, studio.Wire{From: point(t, "main/b4"), To: point(t, "pre/front1")})
	if hears(heard.NewRoom(wired).Hear(patch.Patch{})) != 0 {
		t.Error("a cable that is wired to the socket takes over for good")
	}
}

// A socket of a box is metal with the jack that it is tied to.
func TestSocketOfABox(t *testing.T) {
	s := &session.Session{Guests: []studio.Gear{gear(t, "keys", []string{"out1"}, nil)}}
	room := heard.NewRoom(switched(t)).For(s)
	lead := patch.Patch{Leads: []patch.Lead{{Port: point(t, "keys/out1"), Jack: point(t, "floor-a/1")}}}
	lead.Cords = corded(t, "main/t1", "main/b1").Cords
	if got := room.Hear(lead).Hears(point(t, "bus/in1")); !slices.Equal(got, []name.Point{point(t, "keys/out1")}) {
		t.Errorf("the bus hears %v", got)
	}
	s.Wants = []session.Want{{Source: point(t, "keys/out1"), Destination: point(t, "bus/in1")}}
	if faults := heard.NewRoom(switched(t)).CheckGiven(s, lead, nil); len(faults) > 0 {
		t.Errorf("the session is given, and has %v", faults)
	}
}

// A lead of gear that nobody describes any more may sound.
func TestStrangers(t *testing.T) {
	room := heard.NewRoom(switched(t))
	lead := patch.Patch{Leads: []patch.Lead{{Port: point(t, "keys/out1"), Jack: point(t, "main/t1")}, {Port: point(t, "radio/in2"), Jack: point(t, "main/t4")}}}
	lead.Cords = corded(t, "main/t2", "main/t3").Cords
	known := room.For(nil, lead)
	if !known.Has(point(t, "keys/out1")) || room.Has(point(t, "keys/out1")) {
		t.Error("a stranger is in one room and not in the other")
	}
	var kinds []studio.Direction
	for _, g := range known.Studio().Gear[3:] {
		kinds = append(kinds, g.Ports[0].Direction)
	}
	if !slices.Equal(kinds, []studio.Direction{studio.Output, studio.Input}) {
		t.Errorf("strangers are %v", kinds)
	}
	if room.For(nil, patch.Patch{}) != room || room.For(&session.Session{}) != room || known.For(nil, lead) != known {
		t.Error("a room without anything new is made again")
	}
	intrudes := room.CheckGiven(&session.Session{}, patch.Patch{Leads: []patch.Lead{{Port: point(t, "keys/out1"), Jack: point(t, "main/b1")}}}, nil)
	if len(intrudes) != 1 || intrudes[0].Kind != heard.Intrudes {
		t.Errorf("a stranger at an input is %v", intrudes)
	}
}

// Outputs that are switched together cannot be parted.
func TestParted(t *testing.T) {
	room := heard.NewRoom(switched(t))
	close := func(pairs ...[2]int) patch.Patch {
		var p patch.Patch
		for _, c := range pairs {
			p.Crosspoints = append(p.Crosspoints, patch.Crosspoint{Output: name.At("grid", "out", c[0]), Input: name.At("grid", "in", c[1])})
		}
		return p
	}
	for _, c := range []struct {
		p    patch.Patch
		want int
	}{
		{close(), 0},
		{close([2]int{1, 1}, [2]int{2, 2}), 0},
		{close([2]int{1, 3}, [2]int{2, 4}, [2]int{3, 1}), 0},
		{close([2]int{1, 1}), 1},
		{close([2]int{2, 2}), 1},
		{close([2]int{1, 1}, [2]int{2, 3}), 2},
		{close([2]int{1, 4}), 1},
	} {
		if got := room.Parted(c.p); len(got) != c.want {
			t.Errorf("%v is parted at %v", c.p.Crosspoints, got)
		}
		faults := room.CheckGiven(&session.Session{}, c.p, nil)
		if len(faults) != c.want {
			t.Errorf("%v has the faults %v", c.p.Crosspoints, faults)
		}
	}
}

// A jack takes one plug, and a port one lead: a patch that cannot be in gives
// nothing.
func TestCrowdedPatchesAreNotGiven(t *testing.T) {
	room := heard.NewRoom(switched(t))
	lead := func(port, jack string) patch.Lead { return patch.Lead{Port: point(t, port), Jack: point(t, jack)} }
	for _, c := range []struct {
		name    string
		patch   patch.Patch
		crowded []string
	}{
		{"one of each", patch.Patch{Leads: []patch.Lead{lead("pre/front1", "floor-a/2")}, Dummies: []name.Point{point(t, "main/t4")}}, nil},
		{"two leads on a port", patch.Patch{Leads: []patch.Lead{lead("pre/front1", "floor-a/2"), lead("pre/front1", "main/t4")}}, []string{"pre/front1"}},
		{"two leads in a socket", patch.Patch{Leads: []patch.Lead{lead("pre/front1", "floor-a/2"), lead("bus/alt1", "floor-a/2")}}, []string{"floor-a/2"}},
		{"a dummy over a cord", patch.Patch{Cords: corded(t, "main/t4", "main/b4").Cords, Dummies: []name.Point{point(t, "main/b4")}}, []string{"main/b4"}},
		{"three in one jack", patch.Patch{Dummies: []name.Point{point(t, "main/b4"), point(t, "main/b4"), point(t, "main/b4")}}, []string{"main/b4"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var crowded []string
			for _, f := range room.CheckGiven(&session.Session{}, c.patch, nil) {
				if f.Kind == heard.Crowds {
					crowded = append(crowded, f.Points[0].String())
				}
			}
			if !slices.Equal(crowded, c.crowded) {
				t.Errorf("crowded are %v, not %v", crowded, c.crowded)
			}
		})
	}
}

// What a desk could let through goes with its switches, as passes do; through
// the nets nothing goes by it.
func TestCanPassGoesWithSwitches(t *testing.T) {
	s := switched(t)
	s.Gear[0].CanPass, s.Gear[0].Passes = s.Gear[0].Passes, nil
	room := heard.NewRoom(s)
	alt := room.For(&session.Session{Selections: []session.Selection{{Gear: "bus", Ports: []name.Point{point(t, "bus/alt1")}}}})
	for _, c := range []struct {
		room *heard.Room
		want studio.Pass
		jack string
	}{
		{room, pass(t, "bus/in1", "bus/mix1"), "main/t2"},
		{alt, pass(t, "bus/in1", "bus/alt1"), "main/t3"},
	} {
		if got := c.room.Studio().Gear[0].CanPass; !slices.Equal(got, []studio.Pass{c.want}) {
			t.Errorf("could let through %v, not %v", got, c.want)
		}
		state := c.room.Hear(corded(t, c.jack, "main/b1"))
		if loops := state.Loops(nil, nil); len(loops) > 0 {
			t.Errorf("what could be let through is taken for a pass: %v", loops)
		}
		if before := texts(state.Origins(point(t, "bus/in1"), nil)); before != c.want.Out.String() {
			t.Errorf("origins are %s; nothing comes through by itself", before)
		}
	}
	if len(s.Gear[0].CanPass) != 2 {
		t.Error("the studio that was given has changed")
	}
}
