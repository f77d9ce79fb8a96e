package graph_test

import (
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/simulators/rooms"
)

// bench is a state that changes part by part, and what is in it.
type bench struct {
	*rand.Rand
	graph *graph.Graph
	state *graph.State
	parts []graph.Part
}

func newBench(t *testing.T, seed uint64) *bench {
	t.Helper()
	room := rooms.DrawUpTo(16, seed)
	g := heard.NewRoom(room.Studio).For(room.Session(), room.Patch).Graph()
	present, err := g.Numbered(room.Patch)
	if err != nil {
		t.Fatalf("seed %d: %v", seed, err)
	}
	b := &bench{Rand: rand.New(rand.NewPCG(seed, 0x6772617068)), graph: g, parts: present.Parts()}
	b.state = g.Hear(b.contents(b.parts))
	return b
}

func (b *bench) contents(parts []graph.Part) graph.Contents {
	var c graph.Contents
	for _, p := range parts {
		c.Add(b.graph, p)
	}
	return c
}

// change plugs, pulls, closes and opens a few parts, as one change.
func (b *bench) change() (gone, stale []int) {
	var out, in []graph.Part
	for range b.IntN(3) {
		if len(b.parts) > 0 {
			i := b.IntN(len(b.parts))
			out = append(out, b.parts[i])
			b.parts = slices.Delete(b.parts, i, i+1)
		}
	}
	for range b.IntN(3) {
		if p, ok := b.draw(); ok {
			in, b.parts = append(in, p), append(b.parts, p)
		}
	}
	return b.state.Change(b.contents(out), b.contents(in))
}

// draw is a part that has a free place.
func (b *bench) draw() (graph.Part, bool) {
	free, ports, closed := b.free()
	switch kind := b.IntN(6); {
	case kind == 0 && len(closed) > 0:
		return graph.Part{Kind: graph.Cross, A: closed[b.IntN(len(closed))]}, true
	case kind == 1 && len(ports) > 0 && len(free) > 0:
		return graph.Part{Kind: graph.Lead, A: ports[b.IntN(len(ports))], B: free[b.IntN(len(free))]}, true
	case kind == 2 && len(free) > 0:
		return graph.Part{Kind: graph.Dummy, A: free[b.IntN(len(free))]}, true
	case kind == 3 && len(free) > 0:
		return graph.Part{Kind: graph.Cord, A: free[b.IntN(len(free))], B: graph.None}, true
	case kind > 3 && len(free) > 1:
		i := b.IntN(len(free) - 1)
		ends := graph.Ordered([2]int{free[i], free[i+1]})
		return graph.Part{Kind: graph.Cord, A: ends[0], B: ends[1]}, true
	}
	return graph.Part{}, false
}

// free are the jacks and ports without a plug, and the crosspoints that are open.
func (b *bench) free() (jacks, ports, crosses []int) {
	plugged, led, closed := map[int]bool{}, map[int]bool{}, map[int]bool{}
	for _, p := range b.parts {
		for _, j := range p.Jacks() {
			plugged[j] = true
		}
		led[p.A] = led[p.A] || p.Kind == graph.Lead
		closed[p.A] = closed[p.A] || p.Kind == graph.Cross
	}
	without := func(n int, taken map[int]bool) []int {
		var all []int
		for i := range n {
			if !taken[i] {
				all = append(all, i)
			}
		}
		return all
	}
	return without(len(b.graph.Jacks), plugged), without(len(b.graph.Ports), led), without(len(b.graph.Crosses), closed)
}

// A state that changed part by part is that of its patch heard from nothing, and both
// are what a union-find structure over the nodes and a spreading of sources net by net
// come to, which know nothing of changes.
func TestStateIsThatOfItsPatch(t *testing.T) {
	seen := map[string]int{}
	for seed := range uint64(120) {
		b := newBench(t, seed)
		for step := range 25 {
			before := b.heardAt(b.state)
			gone, stale := b.change()
			b.isSame(t, seed, step, b.graph.Hear(b.contents(b.parts)))
			b.isReference(t, seed, step, seen)
			b.staleIsAll(t, seed, step, before, stale)
			seen["changes"]++
			seen["nets that are gone"] += len(gone)
		}
	}
	t.Log(seen)
	for _, what := range []string{"changes", "nets that are gone", "sources through amplifiers", "joined outputs", "inputs that are taken over", "normals that are broken"} {
		if seen[what] < 100 {
			t.Errorf("%d %s prove too little", seen[what], what)
		}
	}
}

func (b *bench) heardAt(s *graph.State) [][]int {
	var all [][]int
	for n := range b.graph.Nodes {
		all = append(all, slices.Clone(s.HeardOn(s.NetOf(n))))
	}
	return all
}

// isSame compares with a state that was heard from nothing.
func (b *bench) isSame(t *testing.T, seed uint64, step int, fresh *graph.State) {
	t.Helper()
	if b.state.Contended() != fresh.Contended() || len(b.state.InUse()) != len(fresh.InUse()) {
		t.Fatalf("seed %d, step %d: contended %v, of %d nets; from nothing %v, of %d", seed, step, b.state.Contended(), len(b.state.InUse()), fresh.Contended(), len(fresh.InUse()))
	}
	for n := range b.graph.Nodes {
		at, other := b.state.NetOf(n), fresh.NetOf(n)
		same := slices.Equal(sorted(b.state.NodesOf(at)), sorted(fresh.NodesOf(other))) &&
			slices.Equal(b.state.DriversOn(at), fresh.DriversOn(other)) && b.state.CountDrivers(at) == fresh.CountDrivers(other) &&
			slices.Equal(b.state.HeardOn(at), fresh.HeardOn(other))
		if !same {
			t.Fatalf("seed %d, step %d: node %d hears %v by %v of %v; from nothing %v by %v of %v", seed, step, n,
				b.state.HeardOn(at), b.state.DriversOn(at), b.state.NodesOf(at), fresh.HeardOn(other), fresh.DriversOn(other), fresh.NodesOf(other))
		}
	}
	round := b.graph.Feedback(nil, nil)
	if b.state.GoesRound(round, b.state.InUse()) != fresh.GoesRound(round, fresh.InUse()) {
		t.Fatalf("seed %d, step %d: one of two states of one patch goes round", seed, step)
	}
}

func sorted(list []int) []int { return slices.Sorted(slices.Values(list)) }

// staleIsAll checks that a change tells of every net on which something else is heard.
func (b *bench) staleIsAll(t *testing.T, seed uint64, step int, before [][]int, stale []int) {
	t.Helper()
	for n, was := range before {
		at := b.state.NetOf(n)
		if !slices.Equal(was, b.state.HeardOn(at)) && !slices.Contains(stale, at) {
			t.Fatalf("seed %d, step %d: node %d heard %v and hears %v, and is not told of", seed, step, n, was, b.state.HeardOn(at))
		}
	}
}

// isReference compares with a reference that is computed from the parts alone.
func (b *bench) isReference(t *testing.T, seed uint64, step int, seen map[string]int) {
	t.Helper()
	r := newReference(b.graph, b.parts)
	r.spread()
	for n := range b.graph.Nodes {
		for m := range b.graph.Nodes {
			if (r.root(n) == r.root(m)) != (b.state.NetOf(n) == b.state.NetOf(m)) {
				t.Fatalf("seed %d, step %d: nodes %d and %d are one: %v", seed, step, n, m, b.state.NetOf(n) == b.state.NetOf(m))
			}
		}
		if heard := slices.Sorted(maps.Keys(r.heard[r.root(n)])); !slices.Equal(heard, b.state.HeardOn(b.state.NetOf(n))) {
			t.Fatalf("seed %d, step %d: node %d hears %v, by the reference %v", seed, step, n, b.state.HeardOn(b.state.NetOf(n)), heard)
		}
		if drivers := r.drivers[r.root(n)]; drivers != b.state.CountDrivers(b.state.NetOf(n)) {
			t.Fatalf("seed %d, step %d: %d drive node %d, by the reference %d", seed, step, b.state.CountDrivers(b.state.NetOf(n)), n, drivers)
		}
	}
	for m := range b.graph.Normals {
		if r.holds(m) != b.state.Holds(m) {
			t.Fatalf("seed %d, step %d: normal %d holds: %v", seed, step, m, b.state.Holds(m))
		}
	}
	for input := range b.graph.Overrides {
		if r.takenOver(input) != b.state.TakenOver(input) {
			t.Fatalf("seed %d, step %d: input %d is taken over: %v", seed, step, input, b.state.TakenOver(input))
		}
	}
	r.tally(seen)
}
