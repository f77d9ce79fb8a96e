package keep_test

import (
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"pgregory.net/rapid"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// act is one thing that happens in a room; n chooses among what it could happen
// to.
type act struct {
	what string
	n    int
}

var acts = map[string]func(b *bench, n int){
	"recall": func(b *bench, n int) {
		_, _ = asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: []string{"tern", "heron", "plain", keep.RestName}[n%4]})
	},
	"tick": func(b *bench, n int) {
		_, _ = asked(b.keeper, keep.Act{Do: keep.WereDone, IDs: some(byHand(b.status()), n)})
	},
	"tick all": func(b *bench, n int) { _, _ = asked(b.keeper, keep.Act{Do: keep.WereDone, All: true}) },
	"not": func(b *bench, n int) {
		_, _ = asked(b.keeper, keep.Act{Do: keep.NotDone, IDs: some(doneIDs(b.status()), n)})
	},
	"plug": func(b *bench, n int) {
		_, _ = asked(b.keeper, keep.Act{Do: keep.Plugged, A: anyJack(n), B: anyJack(n / 16)})
	},
	"dummy": func(b *bench, n int) { _, _ = asked(b.keeper, keep.Act{Do: keep.Plugged, A: anyJack(n)}) },
	"pull":  func(b *bench, n int) { _, _ = asked(b.keeper, keep.Act{Do: keep.Pulled, A: anyJack(n)}) },
	"move": func(b *bench, n int) {
		_, _ = asked(b.keeper, keep.Act{Do: keep.Moved, A: anyJack(n), B: anyJack(n / 16)})
	},
	"turn":      func(b *bench, n int) { b.units["grid"].turn(out(n%4+1), []name.Point{{}, in(1), in(2), in(4)}[n/4%4]) },
	"gone":      func(b *bench, n int) { b.units["grid"].change(func(u *unit) { u.gone = true }) },
	"goes soon": func(b *bench, n int) { b.units["far"].change(func(u *unit) { u.pulledAfter = 1 }) },
	"back":      func(b *bench, n int) { b.heal(n%2 == 0) },
	"refuses":   func(b *bench, n int) { b.units["grid"].change(func(u *unit) { u.refuses = errors.New("locked") }) },
	"sticks":    func(b *bench, n int) { b.units["grid"].change(func(u *unit) { u.stuck[out(n%4+1)] = true }) },
	"time":      func(b *bench, n int) { b.pass(time.Duration(n%40) * time.Second) },
	"restart":   func(b *bench, n int) { b.restart(-1) },
	"broken": func(b *bench, n int) {
		b.set(func() { b.files = keep.Files{} })
		b.keeper.Look()
	},
	"full": func(b *bench, n int) { b.set(func() { b.full = errors.New("no space") }) },
}

func some(ids []string, n int) []string {
	if len(ids) == 0 {
		return nil
	}
	return []string{ids[n%len(ids)]}
}

func byHand(s keep.Status) []string {
	var all []string
	for _, step := range s.Left {
		if step.By == plan.Person {
			all = append(all, step.ID)
		}
	}
	return all
}

func doneIDs(s keep.Status) []string {
	var all []string
	for _, step := range s.Done {
		all = append(all, step.ID)
	}
	return all
}

func anyJack(n int) name.Point {
	n %= 16
	return name.At("main", []string{"t", "b"}[n/8], n%8+1)
}

// heal mends every device and the journal; a device may come back empty.
func (b *bench) heal(empty bool) {
	b.set(func() { b.full = nil })
	for _, u := range b.units {
		u.change(func(u *unit) {
			if u.gone && empty {
				clear(u.inputs)
			}
			u.gone, u.pulledAfter, u.refuses = false, 0, nil
			clear(u.stuck)
		})
	}
}

// watch checks each status for what may never be.
type watch struct {
	t      testing.TB
	recall uint64
	does   map[string]string
}

func (w *watch) see(s keep.Status) {
	if s.Recall != w.recall {
		w.recall, w.does = s.Recall, map[string]string{}
	}
	all := s.Left
	for _, d := range s.Done {
		all = append(all, d.Step)
	}
	for _, step := range all {
		does, _ := json.Marshal([]any{step.By, step.Do, step.Ends, step.To, step.Crosspoints})
		if had := w.does[step.ID]; had != "" && had != string(does) {
			w.t.Errorf("step %s of recall %d is %s and then %s", step.ID, s.Recall, had, does)
		}
		w.does[step.ID] = string(does)
	}
	if used := usedTwice(s); used != "" {
		w.t.Errorf("step %s is done and left", used)
	}
	if s.Phase != keep.Given {
		return
	}
	for _, c := range s.Known.Crosspoints {
		if c.How != keep.Read && !(c.Output.Owner == "far" && c.How == keep.Sent) {
			w.t.Errorf("given, where %s is %s", c.Output, c.How)
		}
	}
	if len(s.Left) > 0 {
		w.t.Errorf("given, with %s left", steps(s.Left))
	}
}

// Whatever happens, nothing is claimed to be known that is not (the bench looks
// at every write), no step stands for two things, and once everything works
// again the next recall comes to its end.
func TestWhateverHappens(t *testing.T) {
	names := slices.Sorted(maps.Keys(acts))
	rapid.Check(t, func(r *rapid.T) {
		happens := rapid.SliceOfN(rapid.Custom(func(r *rapid.T) act {
			return act{rapid.SampledFrom(names).Draw(r, "what"), rapid.IntRange(0, 255).Draw(r, "n")}
		}), 1, 25).Draw(r, "acts")
		deaf := rapid.Bool().Draw(r, "deaf")
		failed := false
		synctest.Test(t, func(t *testing.T) {
			happen(t, happens, deaf)
			failed = t.Failed()
		})
		if failed {
			r.Fatal("see above")
		}
	})
}

func happen(t *testing.T, happens []act, deaf bool) {
	b := newBench(t)
	b.units["far"].deaf = deaf
	good := b.files
	w := &watch{t: t}
	b.start()
	w.see(b.status())
	for _, a := range happens {
		acts[a.what](b, a.n)
		w.see(b.status())
	}
	b.heal(false)
	b.set(func() { b.files = good })
	b.keeper.Look()
	b.pass(time.Minute)
	s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "tern"})
	for range 20 {
		w.see(s)
		if err != nil || s.Phase == keep.Given {
			break
		}
		s, err = asked(b.keeper, keep.Act{Do: keep.WereDone, All: true})
	}
	if err != nil {
		t.Errorf("after everything works: %v", err)
	}
	b.wants(s, keep.Given, "")
	b.holds(cross(1, 1), cross(2, 2), farOne)
	b.end()
}
