package keep

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/hand"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// telling is what a person says of the bay, on its way into the memory.
type telling struct {
	studio *studio.Studio // nil where its file cannot be read
	files  Files
	// fact is how and since when it is known.
	fact Fact
	// m is the memory with what was said so far, and events what is written down.
	m      Memory
	events []Event
	// took are the steps that were said to be done, waits those that were not taken.
	took  []string
	waits []Later
	// why is the reason to replan; empty for none. at are the places that it is
	// about; none where it may be about any.
	why string
	at  []name.Point
}

// takes takes in what an act says. Where it is an error nothing was said.
func (t *telling) takes(act Act) error {
	if err := t.meant(act); err != nil {
		return err
	}
	switch act.Do {
	case WereDone:
		return t.tick(act)
	case NotDone:
		return t.untick(act.IDs)
	case StillSo:
		t.still()
	case Faulty, Sound:
		return t.tag(act.A, act.Do == Faulty)
	case WasHeard:
		return t.heard(act.A, act.B, Measured)
	case NotHeard:
		return t.heard(act.A, act.B, Told)
	case ByEar:
		return t.byEar(act.A, act.B)
	case Number:
		return t.number(act.A, act.B, act.Number)
	case CordFailed:
		return t.cordFault(act.A, act.B, act.Fault)
	case Binned:
		return t.binned(act.Number)
	case Plugged, Pulled, Moved:
		return t.byHand(act.Do, act.A, act.B)
	case ToRecall, ToPreview, ToUndo, ToListen, Listened, Replaced, ToPutBack, ToLeave:
	}
	return act.Check()
}

// replan says why to replan, and which places that is about.
func (t *telling) replan(why string, at ...name.Point) {
	if t.why != "" && len(t.at) == 0 || len(at) == 0 {
		at, t.at = nil, nil
	}
	t.why, t.at = why, append(t.at, at...)
}

// says writes an event down.
func (t *telling) says(e Event) { t.events = append(t.events, e) }

// tick says that steps were done.
func (t *telling) tick(act Act) error {
	ids := act.IDs
	if act.All {
		ids = t.doable()
	}
	order, err := t.ordered(ids)
	if err != nil {
		return err
	}
	for _, s := range order {
		if !ready(s, doneIDs(t.m.Intent)) {
			t.replan("steps were done in another order", stepPoints(s)...)
		}
		if err := t.did(s); err != nil {
			return err
		}
		t.says(Event{Kind: StepDone, Step: &s, Text: "reported"})
		t.took = append(t.took, s.ID)
	}
	if act.All {
		t.waits = t.waiting()
	}
	return nil
}

// waiting are the steps left for hands that cannot be done yet.
func (t *telling) waiting() []Later {
	by := map[string]string{}
	for _, s := range t.m.Intent.Left {
		by[s.ID] = ""
		if Driven(t.studio, s) {
			by[s.ID] = s.By
		}
	}
	var all []Later
	for _, s := range t.m.Intent.Left {
		if Driven(t.studio, s) {
			continue
		}
		w := Later{ID: s.ID, After: []Before{}}
		for _, id := range s.After {
			if matrix, left := by[id]; left {
				w.After = append(w.After, Before{id, matrix})
			}
		}
		all = append(all, w)
	}
	return all
}

// did marks a person's step done and changes what is known by it.
func (t *telling) did(s plan.Step) error {
	if s.Do == plan.Pull {
		t.m.take(s)
	}
	if err := t.m.Known.put(s, t.fact); err != nil {
		return err
	}
	if s.Do == plan.ChangeOver {
		t.m.Intent.PreviousInside = nil
	}
	t.m.Intent.finish(s.ID, t.fact)
	t.m.silence(s, t.fact)
	t.m.BayTold = true
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

// doable are the steps that a person can do before a device has to be switched
// again.
func (t *telling) doable() []string {
	in := t.m.Intent
	done := doneIDs(in)
	var ids []string
	for _, s := range in.Left {
		if !Driven(t.studio, s) && ready(s, done) {
			ids = append(ids, s.ID)
			done[s.ID] = true
		}
	}
	return ids
}

// ordered are the steps left of these IDs, in the order of the plan. Steps that
// are done already are passed over: saying so twice does no harm.
func (t *telling) ordered(ids []string) ([]plan.Step, error) {
	in := t.m.Intent
	done := doneIDs(in)
	for _, id := range ids {
		i := slices.IndexFunc(in.Left, func(s plan.Step) bool { return s.ID == id })
		switch {
		case i < 0 && done[id]:
		case i < 0:
			return nil, tell(ErrUnknownStep, "%s", phrase.Put("there is no step {step}; {left}", "step", id, "left", t.leftText()))
		case Driven(t.studio, in.Left[i]):
			return nil, notByHand(t.studio, in.Left[i])
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

func (t *telling) leftText() string {
	var ids []string
	for _, s := range t.m.Intent.Left {
		if !Driven(t.studio, s) {
			ids = append(ids, s.ID)
		}
	}
	if len(ids) == 0 {
		return "no step is left for a person"
	}
	return phrase.Put("steps left: {steps}", "steps", strings.Join(ids, ", "))
}

// untick takes steps back, the last one first.
func (t *telling) untick(ids []string) error {
	in := &t.m.Intent
	for _, id := range ids {
		if !doneIDs(*in)[id] && !slices.ContainsFunc(in.Left, func(s plan.Step) bool { return s.ID == id }) {
			return tell(ErrUnknownStep, "there is no step %s in this recall", id)
		}
	}
	for i := len(in.Done) - 1; i >= 0; i-- {
		s := in.Done[i].Step
		if !slices.Contains(ids, s.ID) {
			continue
		}
		if err := t.undid(s); err != nil {
			return err
		}
		in.Done = slices.Delete(slices.Clone(in.Done), i, i+1)
		if i < in.Before {
			in.Before--
		}
		t.says(Event{Kind: StepNot, Step: &s, Text: "was not done after all"})
		t.replan("a step was not done after all", stepPoints(s)...)
	}
	return nil
}

// notByHand says which matrix does a step that a person ticks.
func notByHand(s *studio.Studio, step plan.Step) error {
	by := step.By
	if m, ok := matrixOf(s, by); ok {
		by = called(m)
	}
	return tell(ErrUsage, "%s", phrase.Put("step {step} belongs to {matrix} and cannot be ticked by hand", "step", step.ID, "matrix", by))
}

// undid makes what is known as if the step had not been done.
func (t *telling) undid(s plan.Step) error {
	if Driven(t.studio, s) {
		return notByHand(t.studio, s)
	}
	if do := opposite(s.Do); do != "" {
		back := s
		back.Do = do
		t.m.silence(back, t.fact)
		return nil
	}
	if s.Do == plan.Unmute || s.Do == plan.PhantomOn {
		t.down(s)
		return nil
	}
	switch s.Do {
	case plan.ChangeOver:
		t.m.Intent.PreviousInside = orEmpty(s.Carried)
		return nil
	case plan.Switch:
		return t.m.Known.put(turnedBack(s), t.fact)
	}
	if cord, ok := t.m.Intent.Taken[s.ID]; ok && s.Do == plan.Pull {
		return t.m.Known.putCord(cord.Cord, t.fact)
	}
	back, ok := inverse(s)
	if !ok {
		return tell(ErrUsage, "step %s (%s) cannot be taken back", s.ID, s.Do)
	}
	return t.m.Known.put(back, t.fact)
}

// down says that what was to be brought back is still down.
func (t *telling) down(s plan.Step) {
	do := plan.Mute
	if s.Do == plan.PhantomOn {
		do = plan.PhantomOff
	}
	for _, p := range s.Ends {
		t.m.quiet(p, do, t.fact)
	}
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
func (t *telling) tag(p name.Point, faulty bool) error {
	if err := t.haveJack(p); err != nil {
		return err
	}
	had := slices.ContainsFunc(t.m.Tags, func(g Tag) bool { return g.Jack == p })
	inFile := slices.Contains(t.studio.Faulty, p)
	t.replan(fmt.Sprintf("%s is faulty", p), p)
	switch {
	case faulty && (had || inFile), !faulty && !had && !inFile:
		return nil
	case faulty:
		t.m.Tags = append(slices.Clone(t.m.Tags), Tag{p, t.fact})
	case inFile:
		return tell(ErrConflict, "%s is tagged faulty in the studio's file; take it out there", p)
	default:
		t.m.Tags = slices.DeleteFunc(slices.Clone(t.m.Tags), func(g Tag) bool { return g.Jack == p })
		t.why = fmt.Sprintf("%s is not faulty any more", p)
	}
	t.says(Event{Kind: PersonDid, Text: t.why})
	return nil
}

func (t *telling) haveJack(p name.Point) error {
	if t.studio == nil {
		return t.files.noStudio()
	}
	if !hand.TakesPlug(t.studio, p) {
		return tell(ErrUnknownPoint, "%s is no jack of this studio", p)
	}
	return nil
}
