package order

import (
	"slices"
	"strconv"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// writer turns units into steps.
type writer struct {
	*arranger
	*dependencies
	nextID int
	steps  []plan.Step
	// muted is the step that mutes a gear, unpowered the one that turns phantom
	// power off at an input.
	muted     map[string]string
	unpowered map[name.Point]string
	ids       map[*unit]string
}

func (a *arranger) write() {
	w := &writer{arranger: a, nextID: max(a.plan.FirstID, 1), steps: []plan.Step{}, muted: map[string]string{}, unpowered: map[name.Point]string{}, ids: map[*unit]string{}}
	w.dependencies = newDependencies(w)
	w.offAnyway()
	for i, u := range w.done {
		w.muteFor(u)
		w.powerOff(u)
		w.unit(i, u)
	}
	w.powerOn()
	w.unmuteAll()
	a.plan.Steps = w.steps
	a.plan.Moves = w.moves()
}

// add writes a step that waits for others.
func (w *writer) add(s plan.Step, after []string) string {
	s.ID = strconv.Itoa(w.nextID)
	w.nextID++
	s.After = w.reduced(after)
	w.did(s)
	w.steps = append(w.steps, s)
	return s.ID
}

func (w *writer) unit(i int, u *unit) {
	var after []string
	for _, g := range u.quiets {
		if id := w.muted[g]; id != "" {
			after = append(after, id)
		}
	}
	for _, p := range u.unpowers {
		after = append(after, w.unpowered[p])
	}
	after = append(after, w.stepsOf(w.waits[i])...)
	s := plan.Step{By: plan.Person, Do: u.move.Do, Ends: u.move.Ends, To: u.move.To, Length: u.move.Length, Because: u.because}
	if u.matrix != "" {
		s.By, s.Do, s.Crosspoints = u.matrix, plan.Switch, u.changes
		s.Because = u.whySwitch()
	}
	for _, r := range u.risks {
		s.Because += "; on the way " + r.text
		break
	}
	w.ids[u] = w.add(s, after)
}

// powerOff turns phantom power off where a plug would short it, before the first
// that would.
func (w *writer) powerOff(u *unit) {
	for _, p := range u.unpowers {
		if w.unpowered[p] == "" {
			w.unpowered[p] = w.add(plan.Step{By: plan.Person, Do: plan.PhantomOff, Ends: []name.Point{p},
				Because: "a plug that goes in or out at " + u.touched[0].String() + " would short its phantom power"},
				w.common(func(v *unit) bool { return slices.Contains(v.unpowers, p) }))
		}
	}
}

func (w *writer) powerOn() {
	for _, p := range w.inputsOff() {
		if !w.mayPower(w.rules.new.Hears(p)) {
			continue
		}
		after := []string{w.unpowered[p]}
		for _, u := range w.done {
			if slices.Contains(u.unpowers, p) {
				after = append(after, w.ids[u])
			}
		}
		w.add(plan.Step{By: plan.Person, Do: plan.PhantomOn, Ends: []name.Point{p}, Because: "everything on its way is in place"}, after)
	}
}

// inputsOff are the inputs whose phantom power is off, in the order of the
// studio.
func (w *writer) inputsOff() []name.Point {
	if len(w.unpowered) == 0 {
		return nil
	}
	var all []name.Point
	for _, g := range w.room.Studio().Gear {
		for _, p := range g.Ports {
			if w.unpowered[p.Point] != "" {
				all = append(all, p.Point)
			}
		}
	}
	return all
}

// moves are the person's, with the IDs of their steps.
func (w *writer) moves() []plan.Move {
	moves := []plan.Move{}
	for _, u := range w.done {
		if u.matrix == "" {
			u.move.ID = w.ids[u]
			moves = append(moves, u.move)
		}
	}
	return moves
}
