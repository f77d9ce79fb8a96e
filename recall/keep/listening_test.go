package keep_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// off and to are what outputs listen to while the room is listened to.
func off(o int) plan.Change   { return plan.Change{Output: out(o)} }
func to(o, i int) plan.Change { return plan.Change{Output: out(o), Input: in(i)} }

func listening(changes ...plan.Change) keep.Act { return keep.Act{Do: keep.ToListen, Switch: changes} }

func (b *bench) act(act keep.Act) keep.Status {
	b.t.Helper()
	s, err := asked(b.keeper, act)
	if err != nil {
		b.t.Fatalf("%s: %v", act.Do, err)
	}
	return s
}

var listened = keep.Act{Do: keep.Listened}

// What is switched to listen is read back, and goes back in the other order; the
// session is given all the while, and nothing counts as turned by hand.
func TestListeningGoesBack(t *testing.T) {
	for _, session := range []string{"plain", ""} {
		onBench(t, func(b *bench) {
			b.units["grid"].change(func(u *unit) { u.inputs = map[name.Point]name.Point{out(1): in(1), out(2): in(2)} })
			b.start()
			if session != "" {
				b.recall(session)
			}
			b.units["grid"].forget()
			s := b.act(listening(off(1), to(2, 3)))
			b.holds(cross(2, 3))
			if how(s, out(1)) != "read " || how(s, out(2)) != "read in3" {
				t.Errorf("known as %q and %q", how(s, out(1)), how(s, out(2)))
			}
			phase := s.Phase
			if session != "" && phase != keep.Given || !slices.Contains(codes(s), "listening") {
				t.Errorf("phase %s, problems %v", phase, codes(s))
			}
			s = b.act(listening(off(1), to(2, 3))) // nothing is sent again
			if lines := b.units["grid"].lines(); len(lines) != 2 {
				t.Errorf("sent %q", lines)
			}
			b.act(listening(off(1), to(2, 3), to(3, 3))) // one more
			b.holds(cross(2, 3), cross(3, 3))
			s = b.act(listened)
			b.holds(cross(1, 1), cross(2, 2))
			if s.Phase != phase || len(codes(s)) > 0 || how(s, out(1)) != "read in1" {
				t.Errorf("phase %s, problems %v, %q", s.Phase, codes(s), how(s, out(1)))
			}
			b.act(listened) // again is nothing
			if session != "" {
				b.wants(b.recall("plain"), keep.Given, "")
			}
		})
	}
}

// dying is the journal of a keeper that is killed after some writes: what is not written
// is not done.
type dying struct {
	*bench
	left *int
}

func (d dying) Write(m keep.Memory, events []keep.Event) error {
	if *d.left == 0 {
		return errors.New("killed")
	}
	*d.left--
	return d.bench.Write(m, events)
}

// Wherever the keeper is killed on the way there or back, the next start puts all back
// that was switched to listen, with a session recalled and without.
func TestListeningKilledAtEveryWrite(t *testing.T) {
	for _, session := range []string{"plain", "tern", ""} {
		killed := true
		n := 0
		for ; killed; n++ {
			onBench(t, func(b *bench) {
				b.units["grid"].change(func(u *unit) { u.inputs = map[name.Point]name.Point{out(1): in(1), out(2): in(2)} })
				left := -1
				config := b.config()
				config.Journal = dying{b, &left}
				b.startWith(config)
				if session != "" {
					b.recall(session)
				}
				b.status()
				was := pairs(b.has("grid"))
				left = n
				// Nobody is there to hear the answers.
				_, _ = asked(b.keeper, listening(off(1), to(2, 3), to(4, 1)))
				_, _ = asked(b.keeper, listened)
				b.status()
				killed = left == 0
				b.restart(-1)
				b.pass(2 * time.Minute)
				if has := pairs(b.has("grid")); !slices.Equal(has, was) {
					t.Errorf("%s killed after %d writes: %v, want %v", session, n, has, was)
				}
				if s := b.status(); slices.Contains(codes(s), "listening") {
					t.Errorf("killed after %d writes: still listening", n)
				}
			})
		}
		if n < 20 {
			t.Errorf("only %d writes", n)
		}
	}
}

func (b *bench) has(matrix string) (has map[name.Point]name.Point) {
	b.units[matrix].change(func(u *unit) {
		has = map[name.Point]name.Point{}
		for o, i := range u.inputs {
			has[o] = i
		}
	})
	return has
}

func pairs(has map[name.Point]name.Point) []string {
	var all []string
	for o, i := range has {
		all = append(all, o.Port()+"="+i.Port())
	}
	slices.Sort(all)
	return all
}

// Who listens and is heard of no more loses what was switched, after a minute.
func TestListeningRunsOut(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		b.act(listening(off(1)))
		b.pass(50 * time.Second)
		b.act(listening(off(1)))
		b.pass(50 * time.Second)
		b.holds(cross(2, 2))
		b.pass(11 * time.Second)
		b.holds(cross(1, 1), cross(2, 2))
		b.wants(b.status(), keep.Given, "")
	})
}

// While the room is listened to nobody else switches anything, and what a person says
// of the bay waits with its consequences.
func TestNothingElseIsSwitchedWhileListening(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("tern")
		b.act(listening(off(1)))
		for _, act := range []keep.Act{{Do: keep.ToRecall, Session: "plain"}, {Do: keep.ToUndo}, {Do: keep.ToPutBack, Matrix: "grid"}, listening(off(2))} {
			b.refused(act, keep.ErrConflict)
		}
		b.tick("3", "4")
		b.act(keep.Act{Do: keep.Faulty, A: jack("t8")})
		b.holds(farOne)
		s := b.act(listened)
		b.wants(s, keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2), farOne)
		if len(codes(s)) > 0 {
			t.Errorf("problems %v", codes(s))
		}
	})
}

// Where a device does not do it, nothing stays switched.
func TestListeningFails(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("tern")
		b.tick("3", "4")
		b.units["far"].change(func(u *unit) { u.refuses = errors.New("locked") })
		if _, err := asked(b.keeper, listening(off(1), plan.Change{Output: farOne.Output})); !errors.Is(err, keep.ErrRefused) {
			t.Errorf("error %v", err)
		}
		b.units["far"].change(func(u *unit) { u.refuses = nil })
		b.pass(time.Second)
		b.holds(cross(1, 1), cross(2, 2), farOne)

		b.units["far"].change(func(u *unit) { u.gone = true })
		if _, err := asked(b.keeper, listening(off(1), plan.Change{Output: farOne.Output})); !errors.Is(err, keep.ErrNoAnswer) {
			t.Errorf("error %v", err)
		}
		b.holds(cross(1, 1), cross(2, 2), farOne)
	})
	onBench(t, func(b *bench) {
		b.units["grid"].deaf = true
		b.start()
		b.recall("plain")
		b.refused(listening(off(1)), keep.ErrConflict)
		b.refused(listening(plan.Change{Output: name.At("organ", "out", 1)}), keep.ErrUsage)
		b.refused(keep.Act{Do: keep.ToListen}, keep.ErrUsage)
	})
}

// A device that is pulled while its crosspoint is switched is put back once it answers,
// whether a session is recalled or not.
func TestListeningDeviceGone(t *testing.T) {
	for _, session := range []string{"plain", ""} {
		for _, drift := range []studio.Drift{studio.Restore, studio.Keep} {
			onBench(t, func(b *bench) {
				b.studio.Drift = drift
				b.units["grid"].change(func(u *unit) { u.inputs = map[name.Point]name.Point{out(1): in(1), out(2): in(2)} })
				b.start()
				if session != "" {
					b.recall(session)
				}
				b.act(listening(off(1)))
				b.units["grid"].change(func(u *unit) { u.gone = true })
				if _, err := b.keeper.Act(ctx, listened); err != nil {
					t.Error(err)
				}
				b.pass(3 * time.Minute)
				b.units["grid"].change(func(u *unit) { u.gone = false })
				b.pass(3 * time.Minute)
				b.holds(cross(1, 1), cross(2, 2))
				b.wants(b.recall("plain"), keep.Given, "")
			})
		}
	}
}

// A way on which a person would have to do something is no way to listen.
func TestListeningAsksNobody(t *testing.T) {
	onBench(t, func(b *bench) {
		config := b.config()
		config.Plan = func(ctx context.Context, ask plan.Request) (*plan.Plan, error) {
			p, err := b.planner.plan(ctx, ask)
			if ask.Session == nil {
				mute := plan.Step{ID: "1", By: plan.Person, Do: plan.Mute, Ends: []name.Point{name.At("speakers", "in", 1)}}
				p.Steps = append([]plan.Step{mute}, p.Steps...)
			}
			return p, err
		}
		b.startWith(config)
		b.recall("plain")
		_, err := asked(b.keeper, listening(off(1)))
		errorIs(t, err, keep.ErrConflict)
		if !strings.Contains(err.Error(), "a person would have to mute speakers/in1 first") {
			t.Errorf("error %v", err)
		}
		b.holds(cross(1, 1), cross(2, 2))
	})
}
