package keep_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/recall/keep"
)

// wide is a session of eight outputs in a room with two matrices, and half of it as
// a file that was cut at the end of a line reads.
func (b *bench) wide() (whole, half patch.Patch) {
	far := func(o, i int) patch.Crosspoint { c := farOne; c.Output.Number, c.Input.Number = o, i; return c }
	whole = patch.Patch{Cords: []patch.Cord{cord("t1", "b1"), cord("t2", "b2")},
		Crosspoints: []patch.Crosspoint{far(1, 1), far(2, 2), cross(1, 1), cross(2, 2), cross(3, 3), cross(4, 4)}}
	half = patch.Patch{Cords: []patch.Cord{cord("t1", "b1")}, Crosspoints: []patch.Crosspoint{far(1, 1), cross(1, 1)}}
	b.planner.targets["wide"] = whole
	b.files.Sessions["wide"] = &session.Session{Name: "wide", Notes: "wide", Program: -1, Wants: []session.Want{{Source: jack("t1"), Destination: jack("b1")}}}
	return whole, half
}

// saves is a session's file that was saved anew, and asks for another patch.
func (b *bench) saves(called string, target patch.Patch) {
	b.set(func() {
		changed := *b.files.Sessions[called]
		changed.Wants = append(slices.Clone(changed.Wants), session.Want{Source: jack("t3"), Destination: jack("b3"), Chain: len(changed.Wants)})
		changed.Notes += " again"
		b.files.Sessions[called] = &changed
		b.planner.targets[changed.Notes] = target
	})
	b.keeper.Look()
	b.pass(time.Second)
}

// A file that was half saved is not acted on: what would take away more than half of
// what is held waits for a person.
func TestAFileThatTakesMostAsksFirst(t *testing.T) {
	onBench(t, func(b *bench) {
		whole, half := b.wide()
		b.start()
		b.recall("wide")
		b.allByHand()
		b.units["grid"].forget()
		b.saves("wide", half)
		s := b.status()
		b.holds(whole.Crosspoints...)
		b.wants(s, keep.Given, "")
		if got := problem(s, "takes-most"); !strings.Contains(got, "5 of 8") || !strings.Contains(got, "wide") {
			t.Errorf("it asks %q, among %v", got, codes(s))
		}
		// The room is kept as it was meanwhile, over another look and a restart too.
		b.units["grid"].turn(out(3), in(1))
		b.keeper.Look()
		b.pass(10 * time.Second)
		b.holds(whole.Crosspoints...)
		b.restart(-1)
		b.pass(time.Second)
		b.holds(whole.Crosspoints...)
		remedies := remediesOf(b.status(), "takes-most")
		if len(remedies) != 1 {
			t.Fatalf("what helps is %v", remedies)
		}
		s, err := asked(b.keeper, remedies[0])
		if err != nil || problem(s, "takes-most") != "" {
			t.Fatalf("%v, problems %v", err, codes(s))
		}
		if got := steps(s.Left); !strings.Contains(got, "pull t2 b2") {
			t.Errorf("left is %q", got)
		}
		b.allByHand()
		b.holds(half.Crosspoints...)
	})
}

// The rest of the file comes, or what takes little: nobody is asked.
func TestTheRestOfTheFileComes(t *testing.T) {
	onBench(t, func(b *bench) {
		whole, half := b.wide()
		b.start()
		b.recall("wide")
		b.allByHand()
		before := b.files.Sessions["wide"]
		b.saves("wide", half)
		if got := problem(b.status(), "takes-most"); got == "" {
			t.Fatal("it does not ask")
		}
		b.set(func() { b.files.Sessions["wide"] = before })
		b.keeper.Look()
		b.pass(time.Second)
		if got := problem(b.status(), "takes-most"); got != "" {
			t.Errorf("it still asks %q", got)
		}
		less := whole.Clone()
		less.Crosspoints = slices.Delete(less.Crosspoints, 0, 1)
		b.saves("wide", less)
		if got := problem(b.status(), "takes-most"); got != "" {
			t.Errorf("it asks %q", got)
		}
		b.holds(less.Crosspoints...)
		// Other inputs and other jacks are a change, and take nothing away.
		other := less.Clone()
		for i := range other.Crosspoints {
			other.Crosspoints[i].Input.Number = 3 - min(other.Crosspoints[i].Input.Number, 2)
		}
		b.saves("wide", other)
		if got := problem(b.status(), "takes-most"); got != "" {
			t.Errorf("it asks %q", got)
		}
		b.holds(other.Crosspoints...)
	})
}
