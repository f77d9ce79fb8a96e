package keep

import (
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// plug says that a cord is in two jacks, a lead in a port and a jack, or a dummy
// in a.
func (k *machine) plug(a, b name.Point) error {
	if k.studio != nil && k.hasPort(b) {
		a, b = b, a
	}
	if k.studio != nil && k.hasPort(a) {
		if err := k.haveJack(b); err != nil {
			return err
		}
		return k.unplanned(plan.Step{Do: plan.PlugLead, Ends: []name.Point{a, b}})
	}
	if err := k.haveJack(a); err != nil {
		return err
	}
	for _, p := range []name.Point{a, b} {
		if isSocket(k.studio, p) {
			return tell(ErrUsage, "%s is a socket of a box; a lead from gear goes in, no cord and no dummy", p)
		}
	}
	if b.IsZero() {
		return k.unplanned(plan.Step{Do: plan.PlugDummy, Ends: []name.Point{a}})
	}
	if err := k.haveJack(b); err != nil {
		return err
	}
	if a == b {
		return tell(ErrUsage, "a cord cannot have both its ends in %s", a)
	}
	return k.unplanned(plan.Step{Do: plan.Plug, Ends: []name.Point{a, b}})
}

// pull says that what is in a is out.
func (k *machine) pull(a name.Point) error {
	if k.studio == nil {
		return k.haveJack(a)
	}
	for _, c := range k.memory.Known.Cords {
		if c.A == a || c.B == a {
			return k.unplanned(plan.Step{Do: plan.Pull, Ends: c.Ends(), Length: c.Length})
		}
	}
	for _, l := range k.memory.Known.Leads {
		if l.Jack == a || l.Port == a {
			return k.unplanned(plan.Step{Do: plan.PullLead, Ends: []name.Point{l.Port, l.Jack}})
		}
	}
	for _, d := range k.memory.Known.Dummies {
		if d.Jack == a {
			return k.unplanned(plan.Step{Do: plan.PullDummy, Ends: []name.Point{a}})
		}
	}
	if err := k.haveJack(a); err != nil && !k.hasPort(a) {
		return err
	}
	return tell(ErrConflict, "nothing is in %s as far as is known", a)
}

// move says that the plug in a is now in b, or hangs loose.
func (k *machine) move(a, b name.Point) error {
	if err := k.haveJack(a); err != nil {
		return err
	}
	if !b.IsZero() {
		if err := k.haveJack(b); err != nil {
			return err
		}
	}
	if a == b {
		return tell(ErrUsage, "%s is where it was", a)
	}
	for _, c := range k.memory.Known.Cords {
		if c.A == a || c.B == a {
			return k.moveEnd(c.Ends(), a, b)
		}
	}
	return k.moveOther(a, b)
}

func (k *machine) moveEnd(ends []name.Point, a, b name.Point) error {
	var to []name.Point
	for _, e := range ends {
		switch {
		case e != a:
			to = append(to, e)
		case !b.IsZero():
			to = append(to, b)
		}
	}
	if len(to) == 0 {
		return k.pull(a) // a cord that hung from a alone is out now
	}
	return k.unplanned(plan.Step{Do: plan.MoveEnd, Ends: ends, To: to})
}

// moveOther moves the plug of a lead or a dummy, which is a pull and a plug.
func (k *machine) moveOther(a, b name.Point) error {
	if b.IsZero() {
		return k.pull(a)
	}
	for _, l := range k.memory.Known.Leads {
		if l.Jack == a {
			return k.unplanned(
				plan.Step{Do: plan.PullLead, Ends: []name.Point{l.Port, a}},
				plan.Step{Do: plan.PlugLead, Ends: []name.Point{l.Port, b}})
		}
	}
	for _, d := range k.memory.Known.Dummies {
		if d.Jack == a {
			return k.unplanned(
				plan.Step{Do: plan.PullDummy, Ends: []name.Point{a}},
				plan.Step{Do: plan.PlugDummy, Ends: []name.Point{b}})
		}
	}
	return tell(ErrConflict, "nothing is in %s as far as is known", a)
}

// unplanned takes in what a person did unasked. Where it is just a step that is
// left, it is that step; else the way is made anew.
func (k *machine) unplanned(steps ...plan.Step) error {
	if len(steps) == 1 {
		if id := k.planned(steps[0]); id != "" {
			return k.tick(Act{IDs: []string{id}})
		}
	}
	m := k.memory
	var events []Event
	for _, s := range steps {
		s.By, s.After = plan.Person, []string{}
		if err := m.Known.put(s, k.fact(Told)); err != nil {
			return err
		}
		m.BayTold = true
		text := fmt.Sprintf("%s %s", s.Do, joined(s.Ends))
		if len(s.To) > 0 {
			text += " to " + joined(s.To)
		}
		events = append(events, Event{Kind: PersonDid, Step: &s, Text: text})
	}
	return k.told(m, "somebody did: "+events[0].Text, events...)
}

// planned is the ID of the step left that does the same; empty if there is none.
func (k *machine) planned(s plan.Step) string {
	for _, left := range k.memory.Intent.Left {
		if left.Do == s.Do && sameEnds(left.Ends, s.Ends) && sameEnds(left.To, s.To) {
			return left.ID
		}
	}
	return ""
}

func sameEnds(a, b []name.Point) bool {
	a, b = slices.Clone(a), slices.Clone(b)
	slices.SortFunc(a, name.Point.Compare)
	slices.SortFunc(b, name.Point.Compare)
	return slices.Equal(a, b)
}
