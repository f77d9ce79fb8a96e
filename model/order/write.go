package order

import (
	"slices"
	"strconv"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// writer turns actions into steps.
type writer struct {
	facts  *facts
	rules  *rules
	zones  *zones
	order  []*action
	waits  *waits
	nextID int
	steps  []plan.Step
	// before are all steps that must be done before a step.
	before map[string]map[string]bool
	// muted is the step that mutes a gear, unpowered the one that turns phantom
	// power off at an input.
	muted     map[string]string
	unpowered map[name.Point]string
	// poweredFor are the steps that turn it on again where that is heard from a gear.
	poweredFor map[string][]string
	ids        map[*action]string
	// changedOver is the step that changes the software over, empty for none; with
	// changeFirst everything waits for it.
	changedOver string
	changeFirst bool
}

func newWriter(q *sequencer, waits *waits) *writer {
	return &writer{
		facts: q.facts, rules: q.rules, zones: q.zones, order: waits.order, waits: waits,
		nextID: q.facts.firstID, steps: []plan.Step{}, before: map[string]map[string]bool{},
		muted: map[string]string{}, unpowered: map[name.Point]string{}, poweredFor: map[string][]string{}, ids: map[*action]string{},
	}
}

func (w *writer) write() []plan.Step {
	w.muteFirst()
	w.powerOff()
	w.changeOver()
	for i, a := range w.order {
		w.action(i, a)
	}
	w.powerOn()
	w.unmuteAll()
	return w.steps
}

// add writes a step that waits for others.
func (w *writer) add(s plan.Step, after []string) string {
	s.ID = strconv.Itoa(w.nextID)
	w.nextID++
	s.After = w.reduced(after)
	before := map[string]bool{}
	for _, a := range s.After {
		before[a] = true
		for b := range w.before[a] {
			before[b] = true
		}
	}
	w.before[s.ID] = before
	w.steps = append(w.steps, s)
	return s.ID
}

// reduced are steps to wait for without those that the others wait for anyway.
func (w *writer) reduced(after []string) []string {
	kept := []string{}
	for i, id := range after {
		implied := slices.ContainsFunc(after, func(other string) bool { return other != id && w.before[other][id] })
		if !implied && !slices.Contains(after[:i], id) {
			kept = append(kept, id)
		}
	}
	return kept
}

// stepsOf are the steps of actions, by their places.
func (w *writer) stepsOf(places []int) []string {
	var ids []string
	for _, i := range places {
		ids = append(ids, w.ids[w.order[i]])
	}
	return ids
}

func (w *writer) action(i int, a *action) {
	var after []string
	for _, g := range a.needs.mutes {
		if id := w.muted[g]; id != "" {
			after = append(after, id)
		}
	}
	for _, p := range a.needs.phantomOff {
		after = append(after, w.unpowered[p])
	}
	if w.changeFirst {
		after = append(after, w.changedOver)
	}
	after = append(after, w.stepsOf(w.waits.direct[i])...)
	s := plan.Step{By: plan.Person, Do: a.move.Do, Ends: a.move.Ends, To: a.move.To, Length: a.move.Length, Poles: a.move.Poles, Because: a.because}
	if !a.byHand() {
		s.By, s.Do, s.Crosspoints = a.matrix, plan.Switch, a.changes
		s.Because = w.facts.whySwitch(a)
	}
	if h, ok := a.effect.worstOf(); ok {
		s.Because = inBetween(s.Because, h.text)
	}
	w.ids[a] = w.add(s, after)
}

// moves are the person's, with the IDs of their steps.
func (w *writer) moves() []plan.Move {
	moves := []plan.Move{}
	for _, a := range w.order {
		if a.byHand() {
			m := a.move
			m.ID = w.ids[a]
			moves = append(moves, m)
		}
	}
	return moves
}
