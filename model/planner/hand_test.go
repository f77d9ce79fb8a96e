package planner_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/planner/byhand"
)

// byHand is a room with a session, and the patch that is in.
type byHand byhand.Room

func readByHand(t *testing.T, room, asked, in string) byHand {
	t.Helper()
	return byHand(byhand.Read(t, room, asked, in))
}

// plan is the plan for the room, which gives the session.
func (h byHand) plan(t *testing.T, o planner.Options) *plan.Plan {
	t.Helper()
	room := heard.NewRoom(h.Studio)
	p, err := planner.Find(t.Context(), room, h.In, h.Session, o)
	if err != nil || !p.Given {
		t.Fatalf("no plan: %+v, %v", p, err)
	}
	if faults := room.CheckGiven(h.Session, patch.Patch(p.Target), nil); len(faults) > 0 {
		t.Fatal(faults)
	}
	return p
}

// cords are those of a plan's target, by their jacks.
func cords(p *plan.Plan) []string {
	var all []string
	for _, c := range p.Target.Cords {
		ends := []string{c.A.String()}
		if !c.B.IsZero() {
			ends = append(ends, c.B.String())
		}
		slices.Sort(ends)
		all = append(all, strings.Join(ends, " "))
	}
	slices.Sort(all)
	return all
}

// Bays that are tied and of which nobody says where they hang mostly hang apart: the
// lines that are tied are taken where they suffice. Where the bays have places, or a cord
// goes between them already, the way decides.
func TestTiesBetweenBaysWithoutPlaces(t *testing.T) {
	room := func(places [2]string, ties string) string {
		return fmt.Sprintf(`studio: two rooms
gear:
  stage: {outputs: {out1-2: pro-line}}
  desk: {inputs: {in1-2: pro-line}}
bays:
  live: {pairs: 4, modes: isolated%s}
  control: {pairs: 4, modes: isolated%s}
wiring:
  - stage/out1-2 -> live/t1-2
  - control/b1-2 -> desk/in1-2
ties: [%s]
cords: {stock: [{length: 30 cm, count: 8}]}
`, places[0], places[1], ties)
	}
	none, near := [2]string{}, [2]string{", at: {x: 0 cm, y: 100 cm}", ", at: {x: 0 cm, y: 90 cm}"}
	two := "connect: [stage/out1-2 -> desk/in1-2]\n"
	for name, test := range map[string]struct {
		room, in string
		across   int
	}{
		"a tie for each":        {room(none, "live/b3-4 = control/t3-4"), "", 0},
		"one tie for two":       {room(none, "live/b3 = control/t3"), "", 2},
		"near, by their places": {room(near, "live/b3-4 = control/t3-4"), "", 2},
		"a cord is there":       {room(none, "live/b3-4 = control/t3-4"), "cords: [live/t1 - control/b1]", 2},
	} {
		p := readByHand(t, test.room, two, test.in).plan(t, planner.Options{})
		across := 0
		for _, c := range p.Target.Cords {
			if c.A.Owner != c.B.Owner {
				across++
			}
		}
		if across != test.across {
			t.Errorf("%s: %d cords from bay to bay, want %d: %v", name, across, test.across, cords(p))
		}
	}
}

// What only breaks a normal is a dummy, or a cord plugged at one end: no cord joins two
// inputs for that, and no lead of an input that nothing comes to is plugged.
func TestWhatOnlyBreaksHangs(t *testing.T) {
	h := readByHand(t, `studio: breaking
gear:
  synth: {outputs: {out1-2: home-line}}
  desk: {inputs: {in1-2: home-line}}
  box: {inputs: {in1: home-line}}
bays: {main: {pairs: 2, modes: normal}}
wiring:
  - synth/out1-2 -> main/t1-2
  - main/b1-2 -> desk/in1-2
cords: {stock: [{length: 30 cm, count: 4}]}
dummies: 0
`, "silent: [desk/in1-2]\n", "")
	for _, prefer := range []plan.Prefer{plan.PreferSame, plan.PreferFewest} {
		p := h.plan(t, planner.Options{Prefer: prefer})
		if p.Plugs != 2 || len(p.Target.Leads) > 0 || len(p.Target.Cords) != 2 || !p.Target.Cords[0].B.IsZero() || !p.Target.Cords[1].B.IsZero() {
			t.Errorf("%s: %d plugs: %v, leads %v", prefer, p.Plugs, cords(p), p.Target.Leads)
		}
	}
}

// A relay does not close where the cord is plugged all the same: it goes straight, even
// if it is longer for that.
func TestNoRelayBesideTheCord(t *testing.T) {
	for _, more := range []int{0, 220} {
		h := readByHand(t, fmt.Sprintf(`studio: relays
gear:
  synth: {outputs: {out1: home-line}}
  desk: {inputs: {in1: home-line}}
matrices: {relay: {inputs: 2, outputs: 2, kind: contacts}}
bays:
  main: {pairs: 24, modes: {1-22: isolated, 23: parallel, 24: isolated}}
%s
wiring:
  - synth/out1 -> main/t1
  - main/t2-3 -> relay/in1-2
  - relay/out1 -> main/t23
  - main/b23 -> desk/in1
cords: {stock: [{length: 90 cm, count: 4}]}
`, spare(more)), "connect: [synth/out1 -> desk/in1]\n", "")
		p := h.plan(t, planner.Options{Prefer: plan.PreferFewest})
		if p.Plugs != 2 || len(p.Target.Crosspoints) > 0 {
			t.Errorf("%d pairs more: %d plugs, %v, %v", more, p.Plugs, cords(p), p.Target.Crosspoints)
		}
	}
}

// spare is a bay with nothing wired to it, so that a room is too large for a search.
func spare(pairs int) string {
	if pairs == 0 {
		return ""
	}
	return fmt.Sprintf("  spare: {pairs: %d, modes: isolated, at: {x: 90 m, y: 1 m}}", pairs)
}

// Left and right land side by side and in order where that takes no more plugs: also
// beside what is in already, and also where the cords become longer by it.
func TestPairsInOrder(t *testing.T) {
	room := `studio: pairs
gear:
  pre: {outputs: {out1-4: pro-line}}
  recorder: {inputs: {in1-4: pro-line}}
matrices: {grid: {inputs: 8, outputs: 4}}
bays: {main: {pairs: 24, modes: {1-24: isolated}}}
wiring:
  - pre/out1-4 -> main/t1-4
  - main/b9-16 -> grid/in1-8
  - grid/out1-4 -> recorder/in1-4
cords: {stock: [{length: 90 cm, count: 8}]}
`
	for name, test := range map[string]struct {
		asked, in string
		want      []string
	}{
		"from nothing": {"connect: [pre/out1-2 -> recorder/in1-2]\n", "", []string{"main/b9 main/t1", "main/b10 main/t2"}},
		"left is in":   {"connect: [pre/out1-2 -> recorder/in1-2]\n", "cords: [main/t1 - main/b12], crosspoints: {grid: {out1: in4}}", []string{"main/b12 main/t1", "main/b13 main/t2"}},
		"right is in":  {"connect: [pre/out1-2 -> recorder/in1-2]\n", "cords: [main/t2 - main/b12], crosspoints: {grid: {out2: in4}}", []string{"main/b12 main/t2", "main/b11 main/t1"}},
		"swapped": {"connect: [pre/out1-2 -> recorder/in1-2]\n", "cords: [main/t3 - main/b14, main/t4 - main/b15], crosspoints: {grid: {out1: in7, out2: in6}}",
			[]string{"main/b14 main/t1", "main/b15 main/t2"}},
	} {
		for _, prefer := range []plan.Prefer{plan.PreferSame, plan.PreferFewest} {
			p := readByHand(t, room, test.asked, test.in).plan(t, planner.Options{Prefer: prefer})
			slices.Sort(test.want)
			if !slices.Equal(cords(p), test.want) {
				t.Errorf("%s, %s: %v, want %v; %+v", name, prefer, cords(p), test.want, p.Crosspoints)
			}
		}
	}
}
