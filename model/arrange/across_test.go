package arrange

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"bayhand/model/measure"
	"bayhand/model/session"
)

// total is how far all cords span.
func (n *nearness) total() measure.Length {
	sum := measure.Length(0)
	for o, all := range n.cords.to {
		for _, f := range all {
			sum += measure.Length(f.weight) * n.way(n.topAt[o], n.bottomAt[f.port])
		}
	}
	return sum
}

// twoBays are single units on two bays, one above the other, and sessions that join them.
func twoBays(t *testing.T, random *rand.Rand) Request {
	var file strings.Builder
	file.WriteString("studio: Two\ngear:\n")
	for n := range 6 {
		fmt.Fprintf(&file, "  unit%c: {channels: 1, line: pro-line}\n", 'a'+n)
	}
	file.WriteString("bays:\n  upper: {pairs: 4, modes: isolated}\n  lower: {pairs: 3, modes: isolated}\n")
	q := Request{Studio: readStudio(t, file.String()), Tidy: 5, Moves: -1}
	for n := range 4 {
		q.Sessions = append(q.Sessions, Weighted{drawnSession(q.Studio, random, fmt.Sprint("take-", n)), 1})
	}
	return q
}

// Columns change places between bays until no cord can be shorter: nearly as near as the
// best of all orders on both bays, and never nearer than that.
func TestNearAcrossBays(t *testing.T) {
	random := rand.New(rand.NewPCG(71, 72))
	for room := range 4 {
		q := twoBays(t, random)
		l, err := Lay(q)
		if err != nil {
			t.Fatal(err)
		}
		c := l.columns
		flow := wantsByCord(c, q.Sessions)
		got := newNearness(c, flow).total()
		least, score := got, c.score()
		top, bottom := clone(c.top), clone(c.bottom)
		permutations(len(top), func(order []int) {
			for at, n := range order {
				c.top[at], c.bottom[at] = top[n], bottom[n]
			}
			if c.score() <= score {
				least = min(least, newNearness(c, flow).total())
			}
		})
		if got > least*11/10 {
			t.Errorf("room %d: cords span %s together, and %s are enough", room, got, least)
		}
		t.Logf("room %d: %s, at best %s", room, got, least)
	}
}

// The bays of two places are one question: what belongs together comes to one of them, and
// what stands by a bay comes to that.
func TestZones(t *testing.T) {
	q := asking(t, `studio: Far
gear:
  a: {outputs: {out1-2: pro-line}}
  b: {outputs: {out1-2: pro-line}}
  c: {inputs: {in1-2: pro-line}, place: {x: 20 m, y: 1 m}}
  d: {inputs: {in1-2: pro-line}}
bays:
  near: {pairs: 6, modes: isolated, at: {x: 0 m, y: 1 m}}
  away: {pairs: 6, modes: isolated, at: {x: 20 m, y: 1 m}}
`, "  - a/out1-2 -> c/in1-2\n  - b/out1 -> d/in2\n  - b/out2 -> d/in1\n")
	q.Sessions = append(q.Sessions, Weighted{&session.Session{Name: "none", Program: -1}, 1})
	on := map[string]string{}
	for _, c := range laidOut(t, q) {
		for _, p := range []string{c.Top.Owner, c.Bottom.Owner} {
			if bay, has := on[p]; p != "" && has && bay != c.Bay {
				t.Errorf("%s is on two bays", p)
			}
			on[p] = c.Bay
		}
	}
	if on["c"] != "away" || on["a"] != on["c"] || on["b"] != on["d"] {
		t.Errorf("they stand on %v", on)
	}
}
