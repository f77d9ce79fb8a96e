package hand

import (
	"errors"
	"slices"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

func at(t *testing.T, text string) name.Point {
	t.Helper()
	if text == "" {
		return name.Point{}
	}
	p, err := name.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func bay(t *testing.T) Bay {
	gear := func(owner string, ports ...string) studio.Gear {
		g := studio.Gear{Name: owner}
		for _, p := range ports {
			g.Ports = append(g.Ports, studio.Port{Point: at(t, owner+"/"+p), Direction: studio.Output})
		}
		return g
	}
	return Bay{
		Studio: &studio.Studio{
			Bays:  []studio.Bay{{Name: "main", Modes: make([]studio.Mode, 4)}},
			Boxes: []studio.Box{{Name: "stage", Sockets: 2}},
			Gear:  []studio.Gear{gear("synth", "out1"), gear("desk", "out1")},
			Wires: []studio.Wire{{From: at(t, "desk/out1"), To: at(t, "main/t1")}},
		},
		Guests: []studio.Gear{gear("keys", "out1")},
		Patch: patch.Patch{
			Cords:   []patch.Cord{{A: at(t, "main/t1"), B: at(t, "main/b1")}, {A: at(t, "main/t2")}},
			Leads:   []patch.Lead{{Port: at(t, "horn/out1"), Jack: at(t, "stage/1")}},
			Dummies: []name.Point{at(t, "main/b2")},
		},
	}
}

// What a plug may go into, and what comes of each act: common practice, no
// published source.
func TestRules(t *testing.T) {
	for _, c := range []struct {
		do, a, b string
		want     string // the moves; empty for a refusal
		err      error
	}{
		{"plug", "main/t3", "main/b3", "plug main/t3 main/b3", nil},
		{"plug", "main/t3", "", "plug-dummy main/t3", nil},
		{"plug", "synth/out1", "main/t3", "plug-lead synth/out1 main/t3", nil},
		{"plug", "main/t3", "keys/out1", "plug-lead keys/out1 main/t3", nil},
		{"plug", "stage/2", "synth/out1", "plug-lead synth/out1 stage/2", nil},
		{"plug", "main/t3", "stage/2", "", ErrNever},
		{"plug", "stage/2", "", "", ErrNever},
		{"plug", "main/t3", "main/t3", "", ErrNever},
		{"plug", "synth/out1", "", "", ErrNever},
		{"plug", "synth/out1", "keys/out1", "", ErrNever},
		{"plug", "desk/out1", "main/t3", "", ErrNever},
		{"plug", "horn/out1", "main/t3", "", ErrTaken},
		{"plug", "synth/out1", "stage/1", "", ErrTaken},
		{"plug", "main/t3", "main/b2", "", ErrTaken},
		{"plug", "main/t3", "main/b9", "", ErrNowhere},
		{"plug", "main/t9", "", "", ErrNowhere},
		{"plug", "synth/out1", "main/t9", "", ErrNowhere},
		{"plug", "synth/out9", "main/t3", "", ErrNowhere},
		{"pull", "main/b1", "", "pull main/t1 main/b1", nil},
		{"pull", "main/t2", "", "pull main/t2", nil},
		{"pull", "horn/out1", "", "pull-lead horn/out1 stage/1", nil},
		{"pull", "stage/1", "", "pull-lead horn/out1 stage/1", nil},
		{"pull", "main/b2", "", "pull-dummy main/b2", nil},
		{"pull", "main/t3", "", "", ErrTaken},
		{"pull", "main/t9", "", "", ErrNowhere},
		{"move", "main/b1", "main/b3", "move main/t1 main/b1 to main/t1 main/b3", nil},
		{"move", "main/b1", "", "move main/t1 main/b1 to main/t1", nil},
		{"move", "main/t2", "main/t3", "move main/t2 to main/t3", nil},
		{"move", "main/t2", "", "pull main/t2", nil},
		{"move", "main/b2", "main/b3", "pull-dummy main/b2, plug-dummy main/b3", nil},
		{"move", "main/b2", "", "pull-dummy main/b2", nil},
		{"move", "stage/1", "stage/2", "pull-lead horn/out1 stage/1, plug-lead horn/out1 stage/2", nil},
		{"move", "stage/1", "main/t3", "pull-lead horn/out1 stage/1, plug-lead horn/out1 main/t3", nil},
		{"move", "main/b1", "stage/2", "", ErrNever},
		{"move", "main/b2", "stage/2", "", ErrNever},
		{"move", "main/b1", "synth/out1", "", ErrNever},
		{"move", "main/b1", "main/b1", "", ErrNever},
		{"move", "main/b1", "main/t1", "", ErrTaken},
		{"move", "main/b1", "main/b2", "", ErrTaken},
		{"move", "main/t3", "main/b3", "", ErrTaken},
		{"move", "main/b1", "main/b9", "", ErrNowhere},
		{"move", "main/t9", "main/b3", "", ErrNowhere},
	} {
		b := bay(t)
		act := map[string]func() ([]plan.Move, error){
			"plug": func() ([]plan.Move, error) { return b.Plug(at(t, c.a), at(t, c.b)) },
			"pull": func() ([]plan.Move, error) { return b.Pull(at(t, c.a)) },
			"move": func() ([]plan.Move, error) { return b.Move(at(t, c.a), at(t, c.b)) },
		}[c.do]
		moves, err := act()
		if !errors.Is(err, c.err) || err == nil && said(moves) != c.want {
			t.Errorf("%s %s %s: %s, %v; want %s, %v", c.do, c.a, c.b, said(moves), err, c.want, c.err)
		}
		if err == nil {
			fits(t, b, moves)
		}
	}
}

func said(moves []plan.Move) string {
	text := ""
	for i, m := range moves {
		if i > 0 {
			text += ", "
		}
		text += string(m.Do)
		for _, p := range m.Ends {
			text += " " + p.String()
		}
		for j, p := range m.To {
			if j == 0 {
				text += " to"
			}
			text += " " + p.String()
		}
	}
	return text
}

// fits looks whether no place holds two plugs after moves, and the patch before is
// as it was.
func fits(t *testing.T, b Bay, moves []plan.Move) {
	t.Helper()
	then := Apply(b.Patch, moves...)
	plugs := then.Plugs()
	slices.SortFunc(plugs, name.Point.Compare)
	if len(slices.Compact(plugs)) != len(then.Plugs()) {
		t.Errorf("%s leaves %v", said(moves), then)
	}
	if now := bay(t).Patch; !slices.Equal(now.Plugs(), b.Patch.Plugs()) {
		t.Errorf("%s changed the patch before to %v", said(moves), b.Patch)
	}
}

// A box that stands loose takes the lead of other gear, and one plug.
func TestLooseGear(t *testing.T) {
	b := bay(t)
	in, out := at(t, "di/in1"), at(t, "di/out1")
	b.Guests = append(b.Guests, studio.Gear{Name: "di", Loose: true, Ports: []studio.Port{{Point: in, Direction: studio.Input}, {Point: out, Direction: studio.Output}}})
	synth := at(t, "synth/out1")
	for _, ends := range [][2]name.Point{{synth, in}, {in, synth}} {
		moves, err := b.Plug(ends[0], ends[1])
		want := []plan.Move{{Do: plan.PlugLead, Ends: []name.Point{synth, in}}}
		if err != nil || len(moves) != 1 || moves[0].Do != want[0].Do || !slices.Equal(moves[0].Ends, want[0].Ends) {
			t.Errorf("a lead from %s to %s is %v (%v)", ends[0], ends[1], moves, err)
		}
	}
	if _, err := b.Plug(synth, out); !errors.Is(err, ErrNever) {
		t.Errorf("a lead between two outputs is %v", err)
	}
	b.Patch.Leads = []patch.Lead{{Port: synth, Jack: in}}
	if _, err := b.Plug(in, at(t, "main/t2")); !errors.Is(err, ErrTaken) {
		t.Errorf("a second plug in the box is %v", err)
	}
	if moves, err := b.Pull(in); err != nil || moves[0].Do != plan.PullLead {
		t.Errorf("pulling it is %v (%v)", moves, err)
	}
}
