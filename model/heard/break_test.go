package heard_test

import (
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// What is said to break a way of a pair of each mode.
func TestBreaks(t *testing.T) {
	for _, c := range []struct {
		mode studio.Mode
		want string
	}{
		{studio.FullNormal, "plug main/t1, plug main/b1"},
		{studio.HalfNormal, "plug main/b1"},
		{studio.HalfNormalTop, "plug main/t1"},
		{studio.Parallel, ""},
	} {
		state := pairRoom(t, c.mode).Hear(patch.Patch{})
		if got := breaks(state, "d/in"); got != c.want {
			t.Errorf("%v: broken by %q, not %q", c.mode, got, c.want)
		}
	}
}

func breaks(s *heard.State, at string) string {
	p, err := name.Parse(at)
	if err != nil {
		panic(err)
	}
	var all []string
	for _, w := range s.Ways(p) {
		for _, b := range s.Breaks(w) {
			all = append(all, b.Do.String()+" "+texts(b.At))
		}
	}
	return strings.Join(all, ", ")
}

// What breaks cords, leads, strapped normals, crosspoints either way, and inputs
// that a socket takes over.
func TestBreaksOfWhatIsPlugged(t *testing.T) {
	s := switched(t)
	s.Matrices = append(s.Matrices, studio.Matrix{Name: "relays", Inputs: 1, Outputs: 1, Kind: studio.Contacts})
	s.Wires = append(s.Wires, wire(t, "relays/out1", "main/b4"), wire(t, "relays/in1", "main/b2"))
	s.Normals = []studio.Normal{{From: point(t, "main/t4"), To: point(t, "main/t2")}}
	room := heard.NewRoom(s)
	for _, c := range []struct {
		name, at string
		patch    patch.Patch
		want     string
	}{
		{"a wire, into an input that a socket takes over", "pre/in1", patch.Patch{}, "plug pre/front1"},
		{"a cord", "bus/in1", corded(t, "main/t3", "main/b1"), "pull main/t3 main/b1"},
		{"a strapped normal and a cord", "bus/in1", corded(t, "main/t4", "main/b1"), "plug main/t2, pull main/t4 main/b1"},
		{"a lead", "pre/front1", patch.Patch{
			Leads: []patch.Lead{{Port: point(t, "pre/front1"), Jack: point(t, "main/t4")}},
		}, "plug main/t2, pull pre/front1 main/t4"},
		{"a relay that carries backwards", "bus/in1", patch.Patch{
			Cords:       []patch.Cord{cord(t, "main/t3", "main/b4"), cord(t, "main/b2", "main/b1")},
			Crosspoints: []patch.Crosspoint{{Output: point(t, "relays/out1"), Input: point(t, "relays/in1")}},
		}, "pull main/t3 main/b4, open relays/in1 relays/out1, pull main/b2 main/b1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			state := room.Hear(c.patch)
			if got := breaks(state, c.at); got != c.want {
				t.Errorf("broken by %q, not %q", got, c.want)
			}
		})
	}
}

func TestOnwardAndChanges(t *testing.T) {
	s := switched(t)
	room := heard.NewRoom(s)
	before, after := room.Hear(patch.Patch{}), room.Hear(patch.Patch{
		Leads: []patch.Lead{{Port: point(t, "pre/front1"), Jack: point(t, "main/t4")}},
	})
	// What goes through gear comes out of it, and on.
	s.Wires = append(s.Wires, wire(t, "pre/out1", "bus/in2"))
	s.Gear[0].Ports = append(s.Gear[0].Ports, studio.Port{Point: point(t, "bus/in2"), Direction: studio.Input})
	further := heard.NewRoom(s).Hear(patch.Patch{})
	if got := texts(further.Onward(point(t, "tape/out1"), nil)); got != "bus/in2 pre/in1" {
		t.Errorf("tape/out1 goes on to %q", got)
	}
	inside := []studio.Pass{pass(t, "bus/in2", "bus/mix1")}
	if got := texts(heard.NewRoom(s).Hear(corded(t, "main/t2", "main/b1")).Onward(point(t, "tape/out1"), inside)); got != "bus/in1 bus/in2 pre/in1" {
		t.Errorf("with more inside, tape/out1 goes on to %q", got)
	}
	if got := further.Onward(point(t, "none/out1"), nil); got != nil {
		t.Errorf("a point that is not there goes on to %v", got)
	}
	changes := before.Changes(after)
	if len(changes) != 1 || changes[0].Input != point(t, "pre/in1") || texts(changes[0].Was) != "tape/out1" || changes[0].Is != nil {
		t.Errorf("a plug in the socket changes %v", changes)
	}
	if got := before.Changes(before); got != nil {
		t.Errorf("the same state differs by %v", got)
	}
}
