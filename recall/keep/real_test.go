package keep_test

import (
	"fmt"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// wired is a small room in which things are heard: four players at the top jacks
// and four recorders at the bottom ones, half-normalled; players 5 and 6 and
// recorders 5 and 6 at the matrix.
func wired() *studio.Studio {
	s := room()
	s.Bays[0].Modes = []studio.Mode{
		studio.HalfNormal, studio.HalfNormal, studio.HalfNormal, studio.HalfNormal,
		studio.Isolated, studio.Isolated, studio.Isolated, studio.Isolated,
	}
	s.Stock.Unlimited, s.Dummies = true, -1
	pro := studio.BuiltInLines()[0]
	player, recorder := studio.Gear{Name: "player"}, studio.Gear{Name: "recorder"}
	for n := 1; n <= 6; n++ {
		from, to := name.At("player", "out", n), name.At("recorder", "in", n)
		player.Ports = append(player.Ports, studio.Port{Point: from, Direction: studio.Output, Line: pro})
		recorder.Ports = append(recorder.Ports, studio.Port{Point: to, Direction: studio.Input, Line: pro})
		if n > 4 {
			s.Wires = append(s.Wires, studio.Wire{From: from, To: in(n - 4)}, studio.Wire{From: out(n - 4), To: to})
			continue
		}
		s.Wires = append(s.Wires, studio.Wire{From: from, To: jack(fmt.Sprintf("t%d", n))}, studio.Wire{From: jack(fmt.Sprintf("b%d", n)), To: to})
	}
	s.Gear = []studio.Gear{player, recorder}
	return s
}

// hears is a session in which recorder to[0] hears player to[1], and so on.
func hears(title string, pairs ...[2]int) *session.Session {
	s := &session.Session{Name: title, Program: -1}
	for i, p := range pairs {
		s.Wants = append(s.Wants, session.Want{Destination: name.At("recorder", "in", p[0]), Source: name.At("player", "out", p[1]), Chain: i, Key: fmt.Sprintf("connect[%d]", i)})
	}
	return s
}

// With the real planner: what the keeper calls given, the room's own judge calls
// given as well, and nobody handles more plugs than the plan said.
func TestWithTheRealPlanner(t *testing.T) {
	onBench(t, func(b *bench) {
		s := wired()
		b.studio, b.files.Studio = s, s
		crossed := hears("crossed", [2]int{1, 2}, [2]int{2, 1}, [2]int{5, 6}, [2]int{6, 5})
		shifted := hears("shifted", [2]int{1, 3}, [2]int{3, 3}, [2]int{5, 5})
		b.files.Sessions = map[string]*session.Session{"crossed": crossed, "shifted": shifted}
		config := b.config()
		config.Plan = planner.Make
		b.startWith(config)
		judge := func(s keep.Status, wanted *session.Session) {
			t.Helper()
			p := s.Known.Patch()
			if wanted == nil {
				if !samePatch(p, b.studio.Rest) {
					t.Errorf("at rest is %+v", p)
				}
				return
			}
			for _, f := range heard.NewRoom(b.studio).CheckGiven(wanted, p, nil) {
				t.Errorf("%s: %+v", wanted.Name, f)
			}
		}

		st := b.recall("crossed")
		plugs := st.Plan.Plugs
		handled := 0
		for st.Phase != keep.Given && handled < 20 {
			last := byHand(st) // the last step that is left, not the first
			if len(last) == 0 {
				t.Fatalf("%s with nothing for a person: %v", st.Phase, st.Problems)
			}
			step := stepOf(st, last[len(last)-1])
			handled += plugsOf(step)
			st = b.tick(step.ID)
		}
		if handled != plugs {
			t.Errorf("handled %d plugs in another order, where the plan had %d", handled, plugs)
		}
		judge(st, crossed)
		b.holds(patch.Crosspoint{Output: out(1), Input: in(2)}, patch.Crosspoint{Output: out(2), Input: in(1)})

		// A cord moved on the way to another session is taken into account.
		st = b.recall("shifted")
		if _, err := asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("t7"), B: jack("b7")}); err != nil {
			t.Fatal(err)
		}
		st = b.allByHand()
		judge(st, shifted)
		if st, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: keep.RestName}); err != nil {
			t.Fatal(err, st.Problems)
		}
		judge(b.allByHand(), nil)
	})
}

// allByHand does whatever a person is asked for until nothing is.
func (b *bench) allByHand() keep.Status {
	b.t.Helper()
	s := b.status()
	for range 20 {
		if s.Phase == keep.Given {
			return s
		}
		var err error
		if s, err = asked(b.keeper, keep.Act{Do: keep.WereDone, All: true}); err != nil {
			b.t.Fatal(err)
		}
	}
	b.t.Fatalf("still %s with %s", s.Phase, steps(s.Left))
	return s
}

func stepOf(s keep.Status, id string) plan.Step {
	for _, step := range s.Left {
		if step.ID == id {
			return step
		}
	}
	return plan.Step{}
}

func plugsOf(s plan.Step) int { return plan.Move{Do: s.Do, Ends: s.Ends, To: s.To}.Plugs() }

func samePatch(a, b patch.Patch) bool {
	return len(a.Cords) == len(b.Cords) && len(a.Leads) == len(b.Leads) && len(a.Dummies) == len(b.Dummies) && len(a.Crosspoints) == len(b.Crosspoints)
}
