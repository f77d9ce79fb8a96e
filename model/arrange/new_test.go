package arrange

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// newRoomOf draws a room that is not wired yet, of some gear and one bay, and
// sessions in it.
func newRoomOf(t testing.TB, random *rand.Rand, pairs, sessions int) Request {
	t.Helper()
	var file strings.Builder
	// As many dummies and cords as it takes, and a mult to split at.
	fmt.Fprintf(&file, "studio: Drawn\ngear:\n  desk: {outputs: {out1-%d: pro-line}, inputs: {in1-%d: pro-line}}\n", pairs/2, pairs/2)
	units := pairs / 6
	for n := range units {
		fmt.Fprintf(&file, "  unit%c: {channels: 2, line: pro-line}\n", 'a'+n)
	}
	fmt.Fprintf(&file, "bays:\n  main: {pairs: %d, modes: {1-%d: isolated}}\n", pairs, pairs)
	s := readStudio(t, file.String())
	q := Request{Studio: s, Tidy: 5, Moves: -1}
	for n := range sessions {
		q.Sessions = append(q.Sessions, Weighted{drawnSession(s, random, fmt.Sprintf("take-%d", n)), 1 + random.IntN(2)})
	}
	return q
}

func readStudio(t testing.TB, src string) *studio.Studio {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(src))
	if problems.Errors() {
		t.Fatalf("%v\n%s", problems, src)
	}
	return s
}

// drawnSession wants some inputs fed, each from one output, at most two from one,
// and no signal going round.
func drawnSession(s *studio.Studio, random *rand.Rand, name string) *session.Session {
	made := &session.Session{Name: name, Title: name, Program: -1}
	var outs, ins []studio.Port
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			if p.Direction == studio.Output {
				outs = append(outs, p)
			} else {
				ins = append(ins, p)
			}
		}
	}
	used := map[string]int{}
	for _, in := range ins {
		if random.IntN(5) < 2 {
			continue
		}
		out := outs[random.IntN(len(outs))]
		// Units are fed by the desk only, so that nothing goes round.
		if in.Point.Owner != "desk" {
			out = outs[random.IntN(len(s.Gear[0].Ports)/2)]
		}
		if out.Point.Owner == in.Point.Owner || used[out.Point.String()] > 0 {
			continue
		}
		used[out.Point.String()]++
		made.Wants = append(made.Wants, session.Want{Source: out.Point, Destination: in.Point, Chain: len(made.Wants)})
	}
	return made
}

// What the sum over columns claims is what the planner takes, session by session,
// in rooms with one bay.
func TestClaimIsWhatThePlannerTakes(t *testing.T) {
	random := rand.New(rand.NewPCG(21, 22))
	for n := range rooms(3) {
		q := newRoomOf(t, random, 12+6*random.IntN(2), 2+random.IntN(2))
		a, err := Propose(context.Background(), q)
		if err != nil {
			t.Fatal(err)
		}
		if !a.Plugs.Exact {
			t.Errorf("room %d: the planner takes %d plugs, and the columns say %d (%v)", n, a.Plugs.Proposed, a.Layout.columns.plugs(), a.Sessions)
		}
		if float64(a.Plugs.Proposed) < a.Plugs.Least {
			t.Errorf("room %d: %d plugs, proved to be %v at least", n, a.Plugs.Proposed, a.Plugs.Least)
		}
		isSound(t, q, a)
	}
}

// isSound checks a proposal with code that knows nothing of how it was found.
func isSound(t *testing.T, q Request, a *Answer) {
	t.Helper()
	s := a.Layout.Apply()
	at := map[string]string{}
	for _, w := range s.Wires {
		for _, p := range []string{w.From.String(), w.To.String()} {
			if had, has := at[p]; has {
				t.Errorf("%s is wired twice, to %s", p, had)
			}
		}
		at[w.From.String()], at[w.To.String()] = w.To.String(), w.From.String()
		if w.From.Stem == studio.Top || w.To.Stem == studio.Bottom {
			t.Errorf("%s to %s: an output stands below, or an input above", w.From, w.To)
		}
	}
	for _, g := range q.Studio.Gear {
		for _, p := range g.Ports {
			if at[p.Point.String()] == "" && p.Line.Kind != studio.LoudspeakerLevel {
				t.Errorf("%s is on no bay", p.Point)
			}
		}
	}
}

func TestTooSmallABaySaysWhatIsWorthLeast(t *testing.T) {
	s := readStudio(t, `studio: Small
gear:
  desk: {outputs: {out1-4: pro-line}, inputs: {in1-4: pro-line}}
  rare: {channels: 2, line: pro-line}
bays:
  main: {pairs: 4, modes: {1-4: isolated}}
`)
	want := func(from, to string) session.Want {
		a, _ := text.Resolve(s, from)
		b, _ := text.Resolve(s, to)
		return session.Want{Source: a, Destination: b}
	}
	one := &session.Session{Name: "one", Program: -1, Wants: []session.Want{want("desk/out1", "desk/in1"), want("desk/out2", "desk/in2")}}
	a, err := Propose(context.Background(), Request{Studio: s, Sessions: []Weighted{{one, 1}}, Moves: -1, Waived: []Rule{Spares}})
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Unplaced) != 4 || a.Unplaced[0].Port.Owner != "rare" {
		t.Errorf("left out: %v", a.Unplaced)
	}
}

// The worked cases of a tap and of silence, by hand: an output that its
// half-normal partner and one more want takes 2 plugs, full normal 6 (common
// practice: a plug in the top jack of a full normal breaks it), isolated 6.
func TestWorkedCases(t *testing.T) {
	d := &demand{
		outputs: 1, inputs: 2, weights: []int64{1}, wants: [][][]int{{{0, 1}}}, silent: [][]bool{{false, false}},
		alien: never, isolated: never, halved: never,
	}
	c := d.column(0, 0)
	if c[studio.HalfNormal] != 2 || c[studio.FullNormal] != 6 || c[studio.Isolated] != 6 {
		t.Errorf("tapped: half-normal %d, normal %d, isolated %d; by hand 2, 6, 6", c[studio.HalfNormal], c[studio.FullNormal], c[studio.Isolated])
	}
	d.wants, d.silent = [][][]int{{{1}}}, [][]bool{{true, false}}
	c = d.column(0, 0)
	if c[studio.HalfNormal] != 3 || c[studio.FullNormal] != 2 || c[studio.Isolated] != 2 {
		t.Errorf("silent: half-normal %d, normal %d, isolated %d; by hand 3, 2, 2", c[studio.HalfNormal], c[studio.FullNormal], c[studio.Isolated])
	}
}

func never(int, int) bool { return false }
