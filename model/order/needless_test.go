package order_test

import (
	"fmt"
	"maps"
	"os"
	"slices"
	"testing"

	"bayhand/model/patch"
	"bayhand/model/plan"
)

// No step waits for another without need: each wait is taken away by itself, and then
// some order of the plugs and crosspoints does harm, or cannot be done by hands. All
// orders are looked through. What is left out: mutes and phantom power come before
// everything that may be heard or powered, and come back after it.
func TestNoWaitIsNeedless(t *testing.T) {
	seen := tally{}
	for seed := range count(t, 60) {
		for _, w := range []way{back(t, seed), kept(t, seed)} {
			w.arrange(t, seed)
			if len(w.plan.Steps) > 7 {
				continue
			}
			for _, p := range w.waiting() {
				answer := w.without(p[0], p[1]).answer()
				seen[answer]++
				if answer == "needless" {
					t.Errorf("seed %d: %s waits for %s without need", seed, show(w.plan.Steps[p[1]]), show(w.plan.Steps[p[0]]))
				}
			}
		}
	}
	seen.report(t, "needed")
	if seen["needed"] < 4*seen["not known"] {
		t.Errorf("of too many waits it is not known whether they are needed: %v", seen)
	}
}

// waiting are the steps of a hand or a matrix that wait for another, as places.
func (w way) waiting() [][2]int {
	moves := func(s plan.Step) bool {
		switch s.Do {
		case plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn:
			return false
		default:
			return !w.mutes(s)
		}
	}
	var all [][2]int
	for i, s := range w.plan.Steps {
		for k, before := range w.plan.Steps[:i] {
			if moves(s) && moves(before) && slices.Contains(s.After, before.ID) {
				all = append(all, [2]int{k, i})
			}
		}
	}
	return all
}

// orderings look through all orders of the parts of steps.
type orderings struct {
	way    way
	steps  [][]plan.Step
	before []map[int]bool
	// known is the harm of the order given.
	known map[string]bool
	seen  map[string]bool
	left  int
}

// without are the orders in which a step does not wait for another.
func (w way) without(before, step int) *orderings {
	o := &orderings{way: w, known: map[string]bool{}, seen: map[string]bool{}, left: 1500}
	if os.Getenv("BAYHAND_ROOMS") != "" {
		o.left = 20000
	}
	place := map[string]int{}
	for i, s := range w.plan.Steps {
		all := map[int]bool{}
		for _, a := range s.After {
			all[place[a]] = true
			maps.Copy(all, o.before[place[a]])
		}
		if i == step {
			delete(all, before)
		}
		place[s.ID] = i
		o.steps, o.before = append(o.steps, parts(s)), append(o.before, all)
	}
	r := w.start()
	for _, s := range slices.Concat(o.steps...) {
		r.do(s)
		for _, harm := range o.harm(r) {
			o.known[harm] = true
		}
	}
	return o
}

// harm is what may not be in a room that is on its way, and what lacks of all that is
// heard at both ends.
func (o *orderings) harm(r *replay) []string {
	all := slices.Concat(r.wrong, r.clashes, r.breaks, r.touches, o.short(r.now))
	now := r.limits.room.Hear(r.now)
	for _, g := range o.way.room.Studio().Gear {
		for _, in := range inputs(g) {
			for _, source := range r.limits.ends[0].Hears(in) {
				if source != in && slices.Contains(r.limits.ends[1].Hears(in), source) && !slices.Contains(now.Hears(in), source) {
					all = append(all, fmt.Sprintf("%s is not heard at %s", source, in))
				}
			}
		}
	}
	return all
}

// short says so where more dummies are in than there are; the rooms have all cords that
// it takes.
func (o *orderings) short(p patch.Patch) []string {
	if owned := o.way.room.Studio().Dummies; owned >= 0 && len(p.Dummies) > max(owned, len(o.way.from.Dummies)) {
		return []string{"there is no dummy left"}
	}
	return nil
}

func (o *orderings) answer() string {
	r := o.way.start()
	switch harm := o.harms(r, make([]byte, len(o.steps))); {
	case harm:
		return "needed"
	case o.left < 0:
		return "not known"
	}
	return "needless"
}

// harms says whether some order from here does harm.
func (o *orderings) harms(r *replay, done []byte) bool {
	if o.seen[string(done)] || o.left < 0 {
		return false
	}
	o.seen[string(done)] = true
	for i := len(done) - 1; i >= 0; i-- {
		waits := func(k int) bool { return o.before[i][k] && int(done[k]) < len(o.steps[k]) }
		if int(done[i]) == len(o.steps[i]) || slices.ContainsFunc(slices.Collect(maps.Keys(o.before[i])), waits) {
			continue
		}
		o.left--
		next := r.fork()
		next.do(o.steps[i][done[i]])
		if slices.ContainsFunc(o.harm(next), func(harm string) bool { return !o.known[harm] }) {
			return true
		}
		done[i]++
		found := o.harms(next, done)
		done[i]--
		if found {
			return true
		}
	}
	return false
}

// fork is the same room, which goes on by itself.
func (r *replay) fork() *replay {
	c := *r
	c.now, c.muted, c.unpowered = r.now.Clone(), maps.Clone(r.muted), maps.Clone(r.unpowered)
	c.wrong, c.clashes, c.breaks, c.touches = nil, nil, nil, nil
	return &c
}
