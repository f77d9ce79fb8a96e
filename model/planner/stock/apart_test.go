package stock_test

import (
	"testing"

	"bayhand/model/graph"
	"bayhand/model/patch"
)

// No cord goes from a bay of one room to a bay of another, and no lead of gear that is
// named in a room: but where one is known to go, where the file says that the rooms stand
// together, and from and to what is in no room.
func TestWalls(t *testing.T) {
	const two = `studio: two rooms
gear: {keys: {outputs: {out1: pro-line}}, piano: {outputs: {out1: pro-line}, at: control}}
bays:
  live: {pairs: 2, modes: isolated, at: {x: 0 cm, y: 10 cm}}
  control: {pairs: 2, modes: isolated, at: {x: 0 cm, y: 20 cm}}
  hall: {pairs: 2, modes: isolated, at: {x: 0 cm, y: 30 cm}}
cords: {stock: [{length: 90 cm, count: 2}]}
`
	const apart, together = "rooms: {a: [live, keys, piano], b: [control]}\n", "together: [[a, b]]\n"
	cases := []struct {
		name, rooms, kept string
		goes, leads       bool
	}{
		{"no rooms", "", "", true, true},
		{"a wall", apart, "", false, false},
		{"together", apart + together, "", true, true},
		{"a cord is kept", apart, "cords: [live/t1 - control/t1]", true, false},
		{"a lead is kept", apart, "leads: [keys/out1 - control/t1]", false, true},
		{"a cord hangs", apart, "cords: [{ends: [control/t1]}]", false, false},
	}
	for _, c := range cases {
		g := read(t, two+c.rooms)
		s := of(t, g, patch.Patch{}, contents(t, g, c.kept))
		jack := func(p string) int { return g.JackOf[contents(t, g, "dummies: ["+p+"]").Dummies[0]] }
		across := graph.Ordered([2]int{jack("live/t2"), jack("control/b2")})
		if s.Any(across[0], across[1]) != c.goes || s.Goes(0, across) != c.goes {
			t.Errorf("%s: a cord from room to room goes: %v, want %v", c.name, !c.goes, c.goes)
		}
		port := func(p string) int { return g.PortOf[contents(t, g, "leads: ["+p+" - control/t1]").Leads[0].Port] }
		if s.LeadGoes(port("keys/out1"), jack("control/b2")) != c.leads {
			t.Errorf("%s: a lead from room to room goes: %v, want %v", c.name, !c.leads, c.leads)
		}
		if !s.Any(jack("live/t2"), jack("hall/t1")) || !s.LeadGoes(port("keys/out1"), jack("hall/t1")) || !s.LeadGoes(port("piano/out1"), jack("control/t1")) {
			t.Errorf("%s: walls are where nothing says so", c.name)
		}
	}
}
