package arrange

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// twoPlaces are a control room and a hall that no cord joins, with so many tie lines
// between, units in both, and sessions that go from one to the other.
func twoPlaces(t testing.TB, random *rand.Rand, ties, sessions int) Request {
	t.Helper()
	var file strings.Builder
	file.WriteString("studio: Two places\ngear:\n  desk: {outputs: {out1-8: pro-line}, inputs: {in1-8: pro-line}}\n")
	for n := range 4 {
		fmt.Fprintf(&file, "  unit%c: {channels: 2, line: pro-line, place: {x: %d m, y: 1 m}}\n", 'a'+n, 12*(n%2))
	}
	fmt.Fprintf(&file, "bays:\n  control: {pairs: %d, modes: isolated, at: {x: 0 m, y: 1 m}}\n  hall: {pairs: %d, modes: isolated, at: {x: 12 m, y: 1 m}}\n", 10+ties, 8+ties)
	fmt.Fprintf(&file, "ties:\n  - {from: control/t%d-%d, to: hall/t%d-%d}\ncords: {stock: {60 cm: 24, 90 cm: 12}}\ndummies: 8\n", 11, 10+ties, 9, 8+ties)
	q := Request{Studio: readStudio(t, file.String()), Tidy: 5, Moves: -1}
	for n := range sessions {
		q.Sessions = append(q.Sessions, Weighted{drawnSession(q.Studio, random, fmt.Sprintf("take-%d", n)), 1 + random.IntN(2)})
	}
	return q
}

// Exchanges between bays that the planner judges make layouts better where the sum over
// columns is an estimate: most rooms of these, and none worse; where a session could not be
// given for want of a tie line, it can mostly be given then. BAYHAND_ROOMS=60 is the long form.
func TestExchangesByPlan(t *testing.T) {
	ctx, better, sessions := context.Background(), 0, 0
	before, after := int64(0), int64(0)
	for room := range rooms(1) {
		q := twoPlaces(t, rand.New(rand.NewPCG(uint64(room), 62)), 2, 3)
		all, err := candidates(q)
		if err != nil {
			t.Fatal(err)
		}
		was, err := bestPlanned(ctx, q, all)
		if err != nil {
			t.Fatal(err)
		}
		j, err := was.exchanged(ctx, q)
		if err != nil {
			t.Fatal(err)
		}
		if _, again, err := j.layout.planned(ctx, q, math.MaxInt64); err != nil || again != j.sum || again > was.sum {
			t.Errorf("room %d: %d, planned again %d, and %d before: %v", room, j.sum, again, was.sum, err)
		}
		isSound(t, q, &Answer{Layout: j.layout})
		switch {
		case was.sum >= forbidden && j.sum < forbidden:
			sessions++
		case was.sum < forbidden:
			before, after = before+was.sum, after+j.sum
			if j.sum < was.sum {
				better++
			}
		}
	}
	t.Logf("%d rooms in which all sessions can be given now and could not before; of the others %d are better, the objective %.3f of what it was",
		sessions, better, float64(after)/float64(before))
	if sessions+better == 0 {
		t.Error("no exchange makes any room better")
	}
}
