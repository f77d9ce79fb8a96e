package keep

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
)

// A room that is listened to with test sound has its loudspeakers muted by their
// matrix meanwhile, and may have a crosspoint switched for a moment. The planner makes
// the way there, as for a recall. It is written down before it is gone, and gone back
// step by step: when who listens is done, when nothing was heard of them for a while,
// and after a start of the keeper, since whoever listened did not outlive it.

// listenFor is how long what is switched to listen stays so without another word.
const listenFor = time.Minute

// Listening is what is switched to listen to the room.
type Listening struct {
	// Wanted is what was asked for, Steps the way there; all are switches that devices make.
	Wanted []plan.Change `json:"wanted"`
	Steps  []plan.Step   `json:"steps"`
	// Begun are how many steps were begun, Reached how many were read back, and Back how
	// many were put back since, the last one first.
	Begun   int `json:"begun"`
	Reached int `json:"reached"`
	Back    int `json:"back"`
	// Ends is true once it is to be put back, Until when it is without another word.
	Ends  bool      `json:"ends,omitempty"`
	Until time.Time `json:"until"`
	Fact
}

// testSound switches matrices for the room to be listened to, and back.
type testSound struct {
	*ledger
	replanner replanner
	devices   *devices
}

// exchange is the one with a device.
func (l testSound) exchange(h *device) exchange { return exchange{l.ledger, l.replanner, l.devices, h} }

// listen switches what is wanted to listen to the room, or says again that it is
// listened to.
func (l testSound) listen(a *ask) error {
	wanted := a.act.Switch
	if a.tries == 0 {
		a.begun, a.title = l.at, "the way to listen"
	}
	if had := l.memory.Listening; had != nil {
		return l.again(a, *had)
	}
	if err := l.may(wanted); err != nil {
		return err
	}
	steps, err := l.wayToListen(a, 0)
	if err != nil {
		return err
	}
	m := l.memory
	m.Listening = &Listening{Wanted: wanted, Steps: steps, Until: l.at.Add(listenFor), Fact: l.fact(Told)}
	m.Intent.Failed = slices.DeleteFunc(slices.Clone(m.Intent.Failed), func(f Failure) bool { return toListen(f.ID) })
	l.save(m, Event{Kind: PersonDid, Text: phrase.Put("switched for a while, to listen to the room: {crosspoints}", "crosspoints", m.Listening.text())})
	return nil
}

// again takes in that the room is still listened to. What is wanted may be more than
// before, and is then added.
func (l testSound) again(a *ask, on Listening) error {
	wanted, had := a.act.Switch, len(on.Wanted)
	if on.Ends || len(wanted) < had || !slices.Equal(on.Wanted, wanted[:had]) || l.who != on.Who {
		return l.refusal()
	}
	if more := wanted[had:]; len(more) > 0 {
		if err := l.may(more); err != nil {
			return err
		}
		steps, err := l.wayToListen(a, len(on.Steps))
		if err != nil {
			return err
		}
		on.Wanted, on.Steps = wanted, slices.Concat(on.Steps, steps)
	}
	on.Until = l.at.Add(listenFor)
	m := l.memory
	m.Listening = &on
	l.save(m)
	return nil
}

// refusal is the refusal of what cannot be while the room is listened to.
func (l testSound) refusal() error {
	if by := l.memory.Listening.Who; by != "" {
		return tell(ErrConflict, "%s listens to the room with test sound; wait until that is over", by)
	}
	return tell(ErrConflict, "the room is being listened to with test sound; wait until that is over")
}

// may refuses outputs whose device cannot say that it has switched them.
func (l testSound) may(wanted []plan.Change) error {
	for _, c := range wanted {
		left := slices.DeleteFunc(slices.Clone(l.studio.Gang(c.Output)), func(out name.Point) bool {
			return slices.ContainsFunc(wanted, func(o plan.Change) bool { return o.Output == out })
		})
		if len(left) > 0 {
			return tell(ErrUsage, "nothing was switched to listen: %s is switched together with %s; name both", c.Output, listed(left))
		}
		h := l.devices.of(c.Output.Owner)
		inputs, fact := l.memory.Known.inputs(c.Output)
		switch {
		case h == nil:
			return tell(ErrUsage, "no device is named for %s, so %s cannot be switched to listen", c.Output.Owner, c.Output)
		case !h.answers:
			return tell(ErrNoAnswer, "nothing was switched to listen: %s", h.describe())
		case !h.readsBack || fact.How != Read:
			return tell(ErrConflict, "nothing was switched to listen: %s is not read back", c.Output)
		case len(inputs) > 1:
			return tell(ErrConflict, "nothing was switched to listen: %s has %d inputs", c.Output, len(inputs))
		}
	}
	return nil
}

// wayToListen are the steps from the patch that is known to the one that is wanted.
// They are refused where a person would have to do any of it. Had is how many steps were
// made before.
func (l testSound) wayToListen(a *ask, had int) ([]plan.Step, error) {
	w := l.planning()
	in, err := w.blank("", RecallOptions{})
	if err != nil {
		return nil, err
	}
	target := w.memory.Known.Patch()
	for _, c := range a.act.Switch {
		target.Crosspoints = slices.DeleteFunc(target.Crosspoints, func(x patch.Crosspoint) bool { return x.Output == c.Output })
		if !c.Input.IsZero() {
			target.Crosspoints = append(target.Crosspoints, patch.Crosspoint{Output: c.Output, Input: c.Input})
		}
	}
	target.Sort()
	in.Back = &target
	made, err := l.replanner.inquirer.way(a.asker(), in, main)
	if errors.Is(err, errPlanning) {
		return nil, err
	}
	if err != nil {
		return nil, tell(ErrUsage, "could not plan how to listen: %v", err)
	}
	steps := slices.Clone(made.plan.Steps)
	for i, s := range steps {
		if !Driven(w.studio, s) {
			return nil, tell(ErrConflict, "nothing was switched to listen: a person would have to %s %s first", s.Do, stepPlaces(s))
		}
		steps[i].ID, steps[i].After = fmt.Sprintf("%s%d", listenID, had+i+1), []string{}
	}
	return steps, nil
}

// IDs of steps to listen and back begin so.
const (
	listenID     = "listen-"
	listenBackID = "listen-back-"
)

func toListen(id string) bool { return strings.HasPrefix(id, listenID) }

// due is the step that comes next; false for none.
func (l Listening) due() (plan.Step, bool) {
	switch {
	case !l.Ends && l.Reached < len(l.Steps):
		return l.Steps[l.Reached], true
	case l.Ends && l.Back < l.Begun:
		s := turnedBack(l.Steps[l.Begun-1-l.Back])
		s.ID = listenBackID + strings.TrimPrefix(s.ID, listenID)
		s.Because = "the room was listened to: back as before"
		return s, true
	}
	return plan.Step{}, false
}

// past is when the due step is done, or was given up.
func (l Listening) past() Listening {
	if l.Ends {
		l.Back++
		return l
	}
	l.Reached++
	l.Begun = max(l.Begun, l.Reached)
	return l
}

// touches says whether an output is switched to listen.
func (l *Listening) touches(output name.Point) bool {
	return l != nil && slices.ContainsFunc(l.Steps, func(s plan.Step) bool { return touches(s, output) })
}

func (l Listening) text() string {
	var all []string
	for _, c := range l.Wanted {
		all = append(all, c.Output.String()+" "+ports(nonZero(c.Input)))
	}
	return strings.Join(all, ", ")
}

func nonZero(p name.Point) []name.Point {
	if p.IsZero() {
		return nil
	}
	return []name.Point{p}
}

// end begins to put back what was switched to listen. Where nothing was,
// there is nothing to do.
func (l testSound) end(why string) {
	if l.memory.Listening == nil || l.memory.Listening.Ends {
		return
	}
	l.change(func(on *Listening) { on.Ends = true }, Event{Kind: PersonDid, Text: why})
}

func (l testSound) change(to func(l *Listening), events ...Event) {
	on := *l.memory.Listening
	to(&on)
	m := l.memory
	m.Listening = &on
	l.save(m, events...)
}

// goListening goes the next step to what is switched to listen, or back from it.
func goListening(k *machine) bool {
	on, l := k.memory.Listening, k.testSound()
	switch {
	case on == nil:
		return false
	case !on.Ends && l.outlasted(on.Until):
		l.end("listening ended without a word: what was switched is restored")
		return true
	case !k.stage().sends():
		return false
	}
	s, any := on.due()
	if !any {
		return on.Ends && l.done()
	}
	return l.step(s)
}

// outlasted says whether a time has come that lies a minute ahead at most; one further
// ahead was of a clock that was set back.
func (l testSound) outlasted(t time.Time) bool { return !l.at.Before(t) || t.Sub(l.at) > listenFor }

// done ends it: all is as before.
func (l testSound) done() bool {
	m := l.memory
	m.Listening = nil
	m.Intent.Sending = slices.DeleteFunc(slices.Clone(m.Intent.Sending), toListen)
	l.save(m, Event{Kind: PersonDid, Text: "what was switched to listen to the room is as before"})
	return true
}

// step sends a step, or takes it for done or failed.
func (l testSound) step(s plan.Step) bool {
	on, h := l.memory.Listening, l.devices.of(s.By)
	switch {
	case h == nil:
		l.leave()
	case failed(l.memory.Intent, s.ID) && !on.Ends:
		l.end("what was to be switched to listen was not: it is restored")
	case failed(l.memory.Intent, s.ID) || h.job == nil && holds(s, l.memory.Known):
		l.change(func(on *Listening) { *on = on.past() })
	case h.job != nil:
		return false
	case h.answers:
		begun := *on
		if !on.Ends {
			begun.Begun = on.Reached + 1
		}
		l.memory.Listening = &begun
		l.exchange(h).send(s)
	case !on.Ends:
		l.end("no answer from what was to be switched to listen: it is restored")
	case l.memory.Intent.Idle():
		return false // once it answers
	default:
		l.leave()
	}
	return true
}

// leave takes outputs that were switched to listen for what they were: of a
// device that does not answer. Where a session is recalled they are then brought back to
// it as whatever a device comes back with.
func (l testSound) leave() {
	on, m := l.memory.Listening, l.memory
	m.Known = m.Known.clone()
	for _, s := range on.Steps[:on.Begun] {
		for output, was := range outputsOf(turnedBack(s)) {
			if _, fact := m.Known.inputs(output); fact.How != Read && on.first(output, s.ID) {
				m.Known.set(output, was, l.fact(Assumed))
			}
		}
	}
	m.Listening = nil
	m.Intent.Sending = slices.DeleteFunc(slices.Clone(m.Intent.Sending), toListen)
	l.save(m, Event{Kind: Trouble, Text: phrase.Put("what was switched to listen to the room could not be restored: {crosspoints}", "crosspoints", on.text())})
}

// first says whether a step is the first that touches an output.
func (l *Listening) first(output name.Point, id string) bool {
	i := slices.IndexFunc(l.Steps, func(s plan.Step) bool { return touches(s, output) })
	return i >= 0 && l.Steps[i].ID == id
}

// puttingBack says whether devices are being brought back from listening.
func (l testSound) puttingBack() bool {
	on := l.memory.Listening
	if on == nil || !on.Ends {
		return false
	}
	s, any := on.due()
	h := l.devices.of(s.By)
	return !any || h == nil || h.answers
}

// instead refuses an act that would switch devices while the room is listened to, and
// lets go of what cannot be put back now.
func (l testSound) instead(do Deed) error {
	if l.memory.Listening == nil {
		return nil
	}
	switch do {
	case ToRecall, ToUndo, Replaced, ToPutBack:
		if !l.memory.Listening.Ends {
			return l.refusal()
		}
		if do == ToRecall || do == ToUndo {
			l.leave()
		}
	}
	return nil
}

// turned are the outputs of a matrix that somebody else turned: not those that are
// switched to listen.
func (x exchange) turned(in Intent) []name.Point {
	all := drifted(in, x.h.matrix, x.memory.Known, x.h.unclear)
	return slices.DeleteFunc(all, x.memory.Listening.touches)
}

// listeningProblems say what is switched to listen.
func (v view) listeningProblems() []Problem {
	l := v.k.memory.Listening
	if l == nil {
		return nil
	}
	message := phrase.Put("the room is being listened to with test sound. Until that is over: {crosspoints}", "crosspoints", l.text())
	if l.Ends {
		message = phrase.Put("what was switched to listen to the room is not restored yet: {crosspoints}", "crosspoints", l.text())
	}
	return []Problem{{Code: "listening", Severity: "advice", Message: message, Since: l.Since}}
}
