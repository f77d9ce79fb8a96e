package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/scope"
)

// queue is the order in which acts are done: which waits for devices, for a plan or for
// another act, and which is given up.
type queue struct {
	*ledger
	asks     *asks
	inquirer inquirer
	devices  *devices
}

// ripe is an ask whose plan is made; nil for none.
func (w queue) ripe() *ask {
	for _, a := range w.asks.planning {
		if !w.inquirer.inquiries.open(a.asker()) {
			return &a
		}
	}
	return nil
}

// holdFirst has the oldest ask that waits wait for what is planned in its rooms, where
// that was changed too often while it was planned.
func (w queue) holdFirst() bool {
	a := w.asks.waiting[0]
	if !w.heldUp(a) {
		return false
	}
	w.asks.waiting, w.asks.held = slices.Clone(w.asks.waiting[1:]), append(w.asks.held, a)
	return true
}

// release lets those begin that were held and need not be any more.
func release(k *machine) bool {
	if !slices.ContainsFunc(k.asks.held, func(a ask) bool { return !k.queue().heldUp(a) }) {
		return false
	}
	k.asks.waiting, k.asks.held = slices.Concat(k.asks.held, k.asks.waiting), nil
	return true
}

// heldUp says whether an ask would change what was changed too often already while it
// was planned.
func (w queue) heldUp(a ask) bool {
	kind, _ := ActKindOf(a.act.Do)
	if !kind.ByHand && a.act.Matrix == "" || a.act.Do == StillSo || w.studio == nil {
		return false
	}
	var rooms []string
	for _, p := range w.placesOf(a.act) {
		r := scope.PartOf(w.studio, p.Owner)
		if r == "" {
			rooms = nil
			break
		}
		rooms = append(rooms, r)
	}
	return slices.ContainsFunc(w.asks.planning, func(b ask) bool { return b.tries > mostChanged && common(rooms, b.rooms) })
}

// placesOf are those that an act is about; none where it may be about any.
func (w queue) placesOf(act Act) []name.Point {
	if act.All {
		return nil
	}
	var all []name.Point
	in := w.memory.Intent
	for _, p := range []name.Point{act.A, act.B} {
		if !p.IsZero() {
			all = append(all, p)
		}
	}
	if h := w.devices.of(act.Matrix); h != nil {
		all = append(all, h.matrix.Out(1))
	}
	note := func(s plan.Step) {
		if slices.Contains(act.IDs, s.ID) {
			all = append(all, stepPoints(s)...)
		}
	}
	for _, s := range in.Left {
		note(s)
	}
	for _, d := range in.Done {
		note(d.Step)
	}
	return all
}

// refuse takes an ask away, and answers it so.
func (w queue) refuse(number int, err error) {
	w.asks.drop(number)
	w.inquirer.forget(asker{ask: number})
	w.out.answers = append(w.out.answers, answered{ask: number, err: err})
}

// awaitsPlan says whether a step waits for a plan that is being made: what the planner
// was asked counts with the step not being taken.
func (w queue) awaitsPlan(s plan.Step) bool {
	return slices.ContainsFunc(w.inquirer.inquiries.all, func(one inquiry) bool {
		a := w.asks.numbered(one.of.ask)
		if a != nil && a.look() {
			return false
		}
		return one.cut && one.scope == nil || slices.ContainsFunc(stepPoints(s), one.mayTouch)
	})
}

// sendable is the intent with the steps that may be sent: none that waits for a plan.
func (w queue) sendable() Intent {
	in := w.memory.Intent
	if len(w.inquirer.inquiries.all) > 0 {
		in.Left = slices.DeleteFunc(slices.Clone(in.Left), w.awaitsPlan)
	}
	return in
}
