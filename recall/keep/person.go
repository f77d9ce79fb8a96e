package keep

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/hand"
	"bayhand/model/name"
	"bayhand/model/plan"
)

// tick says that steps were done.
func (k *machine) tick(act Act) error {
	ids := act.IDs
	if act.All {
		ids = k.doable()
	}
	m := k.memory
	order, err := k.ordered(ids)
	if err != nil {
		return err
	}
	var events []Event
	early := false
	for _, s := range order {
		early = early || !ready(s, doneIDs(m.Intent))
		if err := k.did(&m, s); err != nil {
			return err
		}
		events = append(events, Event{Kind: StepDone, Step: &s, Text: "told"})
	}
	if early {
		return k.told(m, "steps were done in another order", events...)
	}
	return k.told(m, "", events...)
}

// did marks a person's step done and changes what is known by it.
func (k *machine) did(m *Memory, s plan.Step) error {
	if s.Do == plan.Pull {
		m.take(s)
	}
	if err := m.Known.put(s, k.fact(Told)); err != nil {
		return err
	}
	m.Intent.finish(s.ID, k.fact(Told))
	m.hush(s, k.fact(Told))
	m.BayTold = true
	return nil
}

// take keeps the cord that a step pulls, for the case that it was not pulled
// after all.
func (m *Memory) take(s plan.Step) {
	for _, c := range m.Known.Cords {
		if len(s.Ends) > 0 && c.Same(cordOf(s.Ends, 0)) {
			taken := map[string]KnownCord{s.ID: c}
			for id, had := range m.Intent.Taken {
				if id != s.ID {
					taken[id] = had
				}
			}
			m.Intent.Taken = taken
		}
	}
}

// told writes down what a person did, and asks for a new plan where there is a
// reason to.
func (k *machine) told(m Memory, why string, events ...Event) error {
	k.save(m, events...)
	if why != "" {
		k.wantReplan("%s", why)
	}
	return nil
}

// doable are the steps that a person can do before a device has to be switched
// again.
func (k *machine) doable() []string {
	in := k.memory.Intent
	done := doneIDs(in)
	var ids []string
	for _, s := range in.Left {
		if !driven(k.studio, s) && ready(s, done) {
			ids = append(ids, s.ID)
			done[s.ID] = true
		}
	}
	return ids
}

// ordered are the steps left of these IDs, in the order of the plan. Steps that
// are done already are passed over: saying so twice does no harm.
func (k *machine) ordered(ids []string) ([]plan.Step, error) {
	in := k.memory.Intent
	done := doneIDs(in)
	for _, id := range ids {
		i := slices.IndexFunc(in.Left, func(s plan.Step) bool { return s.ID == id })
		switch {
		case i < 0 && done[id]:
		case i < 0:
			return nil, tell(ErrUnknownStep, "there is no step %s; %s", id, k.leftText())
		case driven(k.studio, in.Left[i]):
			return nil, tell(ErrUsage, "step %s is done by %s; what a device holds is read from it, not told", id, in.Left[i].By)
		}
	}
	var steps []plan.Step
	for _, s := range in.Left {
		if slices.Contains(ids, s.ID) {
			steps = append(steps, s)
		}
	}
	return steps, nil
}

func (k *machine) leftText() string {
	var ids []string
	for _, s := range k.memory.Intent.Left {
		if !driven(k.studio, s) {
			ids = append(ids, s.ID)
		}
	}
	if len(ids) == 0 {
		return "nothing is left for a person to do"
	}
	return "left are " + strings.Join(ids, ", ")
}

// untick takes steps back, the last one first.
func (k *machine) untick(ids []string) error {
	m := k.memory
	for _, id := range ids {
		if !doneIDs(m.Intent)[id] && !slices.ContainsFunc(m.Intent.Left, func(s plan.Step) bool { return s.ID == id }) {
			return tell(ErrUnknownStep, "there is no step %s in this recall", id)
		}
	}
	var events []Event
	for i := len(m.Intent.Done) - 1; i >= 0; i-- {
		s := m.Intent.Done[i].Step
		if !slices.Contains(ids, s.ID) {
			continue
		}
		if err := k.undid(&m, s); err != nil {
			return err
		}
		m.Intent.Done = slices.Delete(slices.Clone(m.Intent.Done), i, i+1)
		if i < m.Intent.Before {
			m.Intent.Before--
		}
		events = append(events, Event{Kind: StepNot, Step: &s, Text: "was not done after all"})
	}
	if len(events) == 0 {
		return nil // they are left as it is
	}
	return k.told(m, "a step was not done after all", events...)
}

// undid makes what is known as if the step had not been done.
func (k *machine) undid(m *Memory, s plan.Step) error {
	if driven(k.studio, s) {
		return tell(ErrUsage, "step %s was done by %s; what a device holds is read from it, not told", s.ID, s.By)
	}
	if do := opposite(s.Do); do != "" {
		back := s
		back.Do = do
		m.hush(back, k.fact(Told))
		return nil
	}
	if s.Do == plan.Unmute || s.Do == plan.PhantomOn {
		return k.down(m, s)
	}
	if s.Do == plan.Switch {
		return m.Known.put(turnedBack(s), k.fact(Told))
	}
	if cord, ok := m.Intent.Taken[s.ID]; ok && s.Do == plan.Pull {
		return m.Known.addCord(cord.Cord, k.fact(Told))
	}
	back, ok := inverse(s)
	if !ok {
		return tell(ErrUsage, "step %s (%s) cannot be taken back", s.ID, s.Do)
	}
	return m.Known.put(back, k.fact(Told))
}

// down says that what was to be brought back is still down.
func (k *machine) down(m *Memory, s plan.Step) error {
	do := plan.Mute
	if s.Do == plan.PhantomOn {
		do = plan.PhantomOff
	}
	for _, p := range s.Ends {
		m.quiet(p, do, k.fact(Told))
	}
	return nil
}

// turnedBack is a switch at a panel that was not made.
func turnedBack(s plan.Step) plan.Step {
	s.Crosspoints = slices.Clone(s.Crosspoints)
	for i, c := range s.Crosspoints {
		s.Crosspoints[i].Input, s.Crosspoints[i].Was = c.Was, c.Input
	}
	return s
}

// tag says that a jack is faulty, or that it is not any more.
func (k *machine) tag(p name.Point, faulty bool) error {
	if err := k.haveJack(p); err != nil {
		return err
	}
	m := k.memory
	had := slices.ContainsFunc(m.Tags, func(t Tag) bool { return t.Jack == p })
	inFile := slices.Contains(k.studio.Faulty, p)
	text := fmt.Sprintf("%s is faulty", p)
	switch {
	case faulty && (had || inFile), !faulty && !had && !inFile:
		return nil
	case faulty:
		m.Tags = append(slices.Clone(m.Tags), Tag{p, k.fact(Told)})
	case inFile:
		return tell(ErrConflict, "%s is tagged faulty in the studio's file; take it out there", p)
	default:
		m.Tags = slices.DeleteFunc(slices.Clone(m.Tags), func(t Tag) bool { return t.Jack == p })
		text = fmt.Sprintf("%s is not faulty any more", p)
	}
	return k.told(m, text, Event{Kind: PersonDid, Text: text})
}

func (k *machine) haveJack(p name.Point) error {
	if k.studio == nil {
		return tell(ErrNoStudio, "the studio's file cannot be read%s", k.firstFileProblem())
	}
	if !hand.TakesPlug(k.studio, p) {
		return tell(ErrUnknownPoint, "%s is no jack of this studio", p)
	}
	return nil
}
