package capture_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bayhand/model/capture"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/simulators/rooms"
)

// A patch without joined outputs and loops gives the session captured from it.
func TestThePatchGivesWhatWasCaptured(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		made := rooms.Draw(rapid.Uint64().Draw(t, "seed"))
		room := heard.NewRoom(made.Studio)
		state := room.Hear(made.Patch)
		if len(state.Contentions()) > 0 || len(state.Loops(nil, nil)) > 0 {
			t.Skip("joined outputs or a loop")
		}
		s := capture.Session(room, made.Patch, "now")
		if bothChoices(made.Studio, state) || twoInputs(made.Patch) {
			t.Skip("outputs out of use are patched, or an output listens to two inputs")
		}
		if s.Notes != "" {
			t.Fatalf("a patch that a session can ask for was noted: %s", s.Notes)
		}
		if faults := room.CheckGiven(s, made.Patch, nil); len(faults) > 0 {
			t.Fatalf("%v is not given by %+v: %v", s.Wants, made.Patch, faults)
		}
	})
}

func twoInputs(p patch.Patch) bool {
	return slices.ContainsFunc(p.Crosspoints, func(c patch.Crosspoint) bool { return len(p.Inputs(c.Output)) > 1 })
}

// bothChoices says whether inputs hear outputs of different choices of a switch,
// of which one only is in use.
func bothChoices(s *studio.Studio, state *heard.State) bool {
	for _, g := range s.Gear {
		for _, sw := range g.Selects {
			reached := 0
			for _, choice := range sw.Choices {
				if slices.ContainsFunc(choice, func(p name.Point) bool { return len(state.Reaches(p)) > 0 }) {
					reached++
				}
			}
			if reached > 1 {
				return true
			}
		}
	}
	return false
}

// Every want is needed: without it, the bare room would give something else at
// its destination, or the session would not allow what is heard there, or a plug
// that is in breaks the normal that would give it.
func TestNoWantIsIdle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		made := rooms.Draw(rapid.Uint64().Draw(t, "seed"))
		room := heard.NewRoom(made.Studio)
		s := capture.Session(room, made.Patch, "now")
		bare, rest := room.Hear(patch.Patch{}), room.Hear(made.Studio.Rest)
		broken := room.Hear(patch.Patch{Dummies: made.Patch.Plugs()})
		for _, w := range s.Wants {
			source := []name.Point{w.Source}
			if slices.Equal(bare.Hears(w.Destination), source) && slices.Equal(rest.Hears(w.Destination), source) && slices.Equal(broken.Hears(w.Destination), source) {
				t.Fatalf("%s -> %s comes by itself", w.Source, w.Destination)
			}
		}
	})
}

// Each destination is asked for once, and wants in one chain follow each other.
func TestChainsHangTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		made := rooms.Draw(rapid.Uint64().Draw(t, "seed"))
		s := capture.Session(heard.NewRoom(made.Studio), made.Patch, "now")
		asked := map[name.Point]bool{}
		for i, w := range s.Wants {
			if asked[w.Destination] {
				t.Fatalf("%s is asked for twice", w.Destination)
			}
			asked[w.Destination] = true
			if i > 0 {
				follows(t, s.Wants[i-1], w)
			}
		}
	})
}

func follows(t *rapid.T, before, w session.Want) {
	switch {
	case w.Chain == before.Chain && w.Hop == before.Hop:
		if w.Source != before.Source {
			t.Fatalf("%v and %v split from different sources", before, w)
		}
	case w.Chain == before.Chain && w.Hop == before.Hop+1:
		if w.Source.Owner != before.Destination.Owner {
			t.Fatalf("%v does not go on from %v", w, before)
		}
	case w.Chain != before.Chain+1 || w.Hop != 0:
		t.Fatalf("after chain %d hop %d comes chain %d hop %d", before.Chain, before.Hop, w.Chain, w.Hop)
	}
}

// studioA has an interface of four, a compressor of two channels, an echo with
// one input and one output, and loudspeakers that the normals feed.
func studioA() *studio.Studio {
	gear := func(owner string, ins, outs int) studio.Gear {
		g := studio.Gear{Name: owner}
		for n := 1; n <= ins; n++ {
			g.Ports = append(g.Ports, studio.Port{Point: name.At(owner, "in", n), Direction: studio.Input})
		}
		for n := 1; n <= outs; n++ {
			g.Ports = append(g.Ports, studio.Port{Point: name.At(owner, "out", n), Direction: studio.Output})
		}
		return g
	}
	squeeze := gear("squeeze", 2, 2)
	squeeze.Channels = 2
	echo := gear("echo", 1, 1)
	echo.Passes = []studio.Pass{{In: name.At("echo", "in", 1), Out: name.At("echo", "out", 1)}}
	s := &studio.Studio{
		Gear: []studio.Gear{gear("interface", 4, 4), squeeze, echo, gear("speakers", 2, 0)},
		Bays: []studio.Bay{{Name: "main", Modes: slices.Repeat([]studio.Mode{studio.HalfNormal}, 9)}},
	}
	wire := func(from, to string) {
		s.Wires = append(s.Wires, studio.Wire{From: point(from), To: point(to)})
	}
	for n, out := range []string{"interface/out1", "interface/out2", "interface/out3", "interface/out4", "squeeze/out1", "squeeze/out2", "echo/out1"} {
		wire(out, fmt.Sprintf("main/t%d", n+1))
	}
	for n, in := range []string{"speakers/in1", "speakers/in2", "interface/in3", "interface/in4", "interface/in1", "interface/in2", "squeeze/in1", "squeeze/in2", "echo/in1"} {
		wire(fmt.Sprintf("main/b%d", n+1), in)
	}
	return s
}

func point(text string) name.Point {
	p, err := name.Parse(text)
	if err != nil {
		panic(err)
	}
	return p
}

func cords(pairs ...string) patch.Patch {
	var p patch.Patch
	for i := 0; i < len(pairs); i += 2 {
		p.Cords = append(p.Cords, patch.Cord{A: point(pairs[i]), B: point(pairs[i+1])})
	}
	return p
}

func TestWhatAPersonWouldHaveWritten(t *testing.T) {
	for _, c := range []struct {
		name   string
		patch  patch.Patch
		wants  []string // chain.hop source -> destination
		silent []string
	}{
		{name: "nothing plugged asks for nothing"},
		{
			name:  "a chain through two channels and an echo",
			patch: cords("main/t3", "main/b7", "main/t4", "main/b8", "main/t5", "main/b9", "main/t7", "main/b5"),
			wants: []string{
				"0.0 interface/out3 -> squeeze/in1",
				"0.1 squeeze/out1 -> echo/in1",
				"0.2 echo/out1 -> interface/in1",
				"1.0 interface/out4 -> squeeze/in2",
			},
		},
		{
			name:  "a tap is a want, the normal that goes on is none",
			patch: cords("main/t1", "main/b9"),
			wants: []string{"0.0 interface/out1 -> echo/in1"},
		},
		{
			name:   "a dummy silences",
			patch:  patch.Patch{Dummies: []name.Point{point("main/b1")}},
			silent: []string{"speakers/in1"},
		},
		{
			name:  "a source that goes elsewhere and on through gear",
			patch: cords("main/t3", "main/b7", "main/b3", "main/b9"),
			wants: []string{
				"0.0 interface/out3 -> squeeze/in1",
			},
			silent: []string{"interface/in3"},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := capture.Session(heard.NewRoom(studioA()), c.patch, "now")
			var wants, silent []string
			for _, w := range s.Wants {
				wants = append(wants, fmt.Sprintf("%d.%d %s -> %s", w.Chain, w.Hop, w.Source, w.Destination))
			}
			for _, p := range s.Silent {
				silent = append(silent, p.String())
			}
			if !slices.Equal(wants, c.wants) {
				t.Errorf("wants %q\nnot   %q", wants, c.wants)
			}
			if !slices.Equal(silent, c.silent) {
				t.Errorf("silent %q, not %q", silent, c.silent)
			}
		})
	}
}

func TestWhatARestPatchGivesIsAskedFor(t *testing.T) {
	s := studioA()
	s.Rest = cords("main/t3", "main/b9")
	got := capture.Session(heard.NewRoom(s), s.Rest, "now")
	if len(got.Wants) != 1 || got.Wants[0].Destination != point("echo/in1") {
		t.Errorf("captured %v; the cord of the rest patch makes echo/in1 hear interface/out3", got.Wants)
	}
}

func TestJoinedOutputsAreNoted(t *testing.T) {
	s := studioA()
	s.Bays[0].Modes[8] = studio.Parallel
	got := capture.Session(heard.NewRoom(s), cords("main/t3", "main/b9", "main/t4", "main/t9"), "now")
	for _, w := range got.Wants {
		if w.Destination == point("echo/in1") {
			t.Errorf("%v was asked for, though what is heard there is not defined", w)
		}
	}
	const want = "captured while outputs were joined: interface/out3, interface/out4; what is heard there was left out, with all that may join them: main/t3 - main/b9, main/t4 - main/t9"
	if got.Notes != want {
		t.Errorf("notes are %q, not %q", got.Notes, want)
	}
}

// A cord that joins two outputs is left out of the patch that is kept, and is said; what is
// heard at other inputs, and without that cord, is asked for all the same.
func TestACordThatJoinsOutputsIsLeftOut(t *testing.T) {
	s := studioA()
	s.Bays[0].Modes[0] = studio.Parallel
	got := capture.Session(heard.NewRoom(s), cords("main/t1", "main/b9", "main/b1", "main/t2"), "now")
	if want := cords("main/t1", "main/b9").Cords; !slices.Equal(got.Patch.Cords, want) {
		t.Errorf("the patch keeps %v, not %v", got.Patch.Cords, want)
	}
	if !slices.ContainsFunc(got.Wants, func(w session.Want) bool {
		return w.Source == point("interface/out1") && w.Destination == point("echo/in1")
	}) {
		t.Errorf("%v is asked for, without interface/out1 -> echo/in1", got.Wants)
	}
	const want = "captured while outputs were joined: interface/out1, interface/out2; what joins them was left out: main/b1 - main/t2"
	if got.Notes != want {
		t.Errorf("notes are %q, not %q", got.Notes, want)
	}
}

// Two cords between the same outputs must both go, of a chain one part; in any room what is
// said parts all that it can, and none of it can stay.
func TestWhatMustGoForOutputsToBeApart(t *testing.T) {
	first := func(a, b patch.Patch) int { // the cord at main/b3 came first
		return strings.Compare(fmt.Sprint(b.Cords[0].A), fmt.Sprint(a.Cords[0].A))
	}
	for _, c := range []struct {
		patch, want patch.Patch
		came        func(a, b patch.Patch) int
	}{
		{cords("main/t1", "main/t2"), cords("main/t1", "main/t2"), nil},
		{cords("main/t1", "main/t2", "main/b1", "main/b2", "main/t3", "main/b9"), cords("main/b1", "main/b2", "main/t1", "main/t2"), nil},
		{cords("main/t1", "main/t3", "main/b3", "main/b2"), cords("main/b3", "main/b2"), nil},
		{cords("main/t1", "main/t3", "main/b3", "main/b2"), cords("main/t1", "main/t3"), func(a, b patch.Patch) int { return -first(a, b) }},
		{cords("main/t1", "main/t3", "main/b3", "main/b2"), cords("main/b3", "main/b2"), first},
	} {
		s := studioA()
		s.Bays[0].Modes[0], s.Bays[0].Modes[1], s.Bays[0].Modes[2] = studio.Parallel, studio.Parallel, studio.Parallel
		s.Wires = slices.DeleteFunc(s.Wires, func(w studio.Wire) bool { return w.To == point("main/t3") })
		got := capture.Parting(heard.NewRoom(s), c.patch, []name.Point{point("interface/out1"), point("interface/out2")}, c.came)
		got.Sort()
		if !slices.Equal(got.Cords, c.want.Cords) {
			t.Errorf("of %v %v must go, not %v", c.patch.Cords, got.Cords, c.want.Cords)
		}
	}
	seen := 0
	for seed := range uint64(300) {
		made := rooms.Draw(seed)
		room := heard.NewRoom(made.Studio)
		bare := room.Hear(patch.Patch{})
		for _, c := range room.Hear(made.Patch).Contentions() {
			gone := capture.Parting(room, made.Patch, c.Drivers, nil)
			if len(gone.Cords)+len(gone.Leads)+len(gone.Crosspoints) == 0 {
				continue
			}
			seen++
			live := room.Live(made.Patch)
			live.Change(gone, patch.Patch{})
			for i, p := range c.Drivers {
				for _, q := range c.Drivers[:i] {
					if live.Contend(p, q) && !bare.Contend(p, q) {
						t.Errorf("seed %d: without %+v %s and %s are joined still", seed, gone, p, q)
					}
				}
			}
		}
	}
	if seen < 20 {
		t.Errorf("%d were parted: not a test", seen)
	}
}

// What is captured of any patch joins nothing that the studio itself does not join.
func TestACaptureJoinsNothing(t *testing.T) {
	seen := 0
	for seed := range uint64(400) {
		made := rooms.Draw(seed)
		room := heard.NewRoom(made.Studio)
		was, bare := room.Hear(made.Patch).Contentions(), room.Hear(patch.Patch{}).Contentions()
		if len(was) == 0 || len(bare) > 0 {
			continue
		}
		seen++
		s := capture.Session(room, made.Patch, "now")
		if left := room.Hear(*s.Patch).Contentions(); len(left) > 0 {
			t.Errorf("seed %d: %v was joined, and %v still is", seed, was, left)
		}
	}
	if seen < 20 {
		t.Errorf("outputs were joined in %d rooms: not a test", seen)
	}
}
