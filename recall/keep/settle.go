package keep

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"bayhand/model/plan"
)

// settle begins everything that can be begun now, shows the status and answers
// the asks whose devices are done.
func (k *Keeper) settle(ctx context.Context) {
	k.tryJournal()
	k.callRound()
	k.keepLater(ctx)
	for k.begin(ctx) || k.planAnew(ctx) || k.advance() || k.give(ctx) {
	}
	k.post()
	if !k.busy() {
		k.answerSettled()
	}
	k.lookOnly()
}

// busy says whether devices are still being brought to what is intended.
func (k *Keeper) busy() bool {
	return k.starting() || k.switching() || k.room.replan != "" && !k.halted()
}

// lookOnly answers asks that change nothing.
func (k *Keeper) lookOnly() {
	k.room.settling = slices.DeleteFunc(k.room.settling, func(a *ask) bool {
		if a.look() {
			k.reply(a, nil)
		}
		return a.look()
	})
}

// planAnew makes the way anew from what is known, where there is a reason to,
// and no device is between two states.
func (k *Keeper) planAnew(ctx context.Context) bool {
	if k.room.replan == "" || k.interrupted() || k.switching() || k.starting() || k.halted() {
		return false
	}
	why := k.room.replan
	k.room.replan = ""
	in := k.room.memory.Intent
	if in.idle() || k.room.studio == nil {
		return false
	}
	p, ask, err := k.plan(ctx, in)
	if err != nil {
		k.room.planTrouble = k.problem("plan", "no way to %s could be made: %v", in.title(), err)
		return true
	}
	if !k.commit(k.adopted(in, p, ask, false), Event{Kind: Replanned, Text: "the way was made anew: " + why}) {
		k.room.replan = why
		return false
	}
	return true
}

// adopted is the memory with a new plan in it. Where a person has asked for it, what
// was sent to devices that cannot be asked is sent again: nobody saw it arrive, nor
// whether they have lost it since.
func (k *Keeper) adopted(in Intent, p *plan.Plan, ask plan.Request, bidden bool) Memory {
	k.room.planTrouble = nil
	m := k.room.memory
	m.Intent = in.adopt(p, ask)
	m.Intent.Planned = k.now()
	m.asHushed()
	if bidden {
		m.disbelieve(k.fact(Assumed), p)
	}
	m.assert(k.room.studio)
	return m
}

// plan asks the planner for the way from what is known to what is intended.
func (k *Keeper) plan(ctx context.Context, in Intent) (*plan.Plan, plan.Request, error) {
	prefer, err := plan.ParsePrefer(in.Options.Prefer)
	if err != nil {
		return nil, plan.Request{}, err
	}
	ask := plan.Request{
		Studio: k.tagged(), From: k.present(), Session: in.together(k.room.studio),
		PreviousInside: in.PreviousInside,
		Prefer:         prefer, Partly: in.Options.Partly, LeaveCords: in.leavesCords(),
		FirstID: max(in.NextID, 1),
	}
	ask = k.asked(in, ask)
	p, err := k.config.Plan(ctx, ask)
	if err == nil && p == nil {
		err = fmt.Errorf("the planner gave no plan")
	}
	return p, ask, err
}

// advance marks steps that are shown done and sends those that are due.
func (k *Keeper) advance() bool {
	if k.room.replan != "" || k.interrupted() || k.starting() || k.halted() {
		return false
	}
	d := next(k.room.studio, k.room.memory.Intent, k.room.memory.Known)
	for _, s := range d.Shown {
		if h := k.handOf(s.By); h != nil && h.job.counts() {
			continue
		}
		return k.shown(s)
	}
	for _, s := range d.Device {
		if h := k.handOf(s.By); h != nil && h.answers && h.job == nil {
			return k.send(h, s)
		}
	}
	return false
}

// shown marks a step done whose crosspoints were read to be as it wants.
func (k *Keeper) shown(s plan.Step) bool {
	m := k.room.memory
	m.Intent.finish(s.ID, k.fact(Read))
	return k.commit(m, Event{Kind: StepDone, Matrix: s.By, Step: &s, Text: "read back"})
}

// send writes down what will be sent, and sends it. From here until the device
// has answered nobody knows which of the two states its outputs are in.
func (k *Keeper) send(h *hand, s plan.Step) bool {
	m := k.room.memory
	open, shut := orders(h.matrix, s, m.Known)
	m.Intent.Sending = append(without(m.Intent.Sending, s.ID), s.ID)
	m.Known = m.Known.clone()
	for _, c := range s.Crosspoints {
		inputs, _ := m.Known.inputs(c.Output)
		m.Known.set(c.Output, inputs, k.fact(NotKnown))
	}
	if !k.commit(m, Event{Kind: Sending, Matrix: s.By, Step: &s, Text: "about to be sent"}) {
		return false
	}
	k.post() // nobody may see as known what is about to change
	h.give(&job{step: &s, open: open, close: shut})
	return true
}

// give marks the intent given when nothing is left and the matrices agree.
func (k *Keeper) give(ctx context.Context) bool {
	in := k.room.memory.Intent
	if in.idle() || in.Given || k.interrupted() || k.room.replan != "" || k.switching() || k.starting() || k.halted() || !k.agrees() {
		return false
	}
	m := k.room.memory
	m.Intent.Given = true
	m.Intent.PreviousInside = nil
	if in.Session == "" {
		m.Intent = Intent{Recall: in.Recall} // the patch is back, and nothing was intended then
	}
	known := m.Known
	if !k.commit(m, Event{Kind: WasGiven, Text: given(in.whole(k.room.studio)), Known: &known}) {
		return false
	}
	k.keepPatch(ctx)
	return true
}

func given(what string) string {
	if strings.Contains(what, ", ") {
		return what + " are given"
	}
	return what + " is given"
}

func (k *Keeper) keepPatch(ctx context.Context) {
	in := k.room.memory.Intent
	k.room.keepTrouble, k.room.keepAgain = nil, time.Time{}
	if k.config.KeepPatch == nil || in.Wanted == nil {
		return
	}
	p := in.owned(k.room.studio, k.room.memory.Known.Patch())
	if in.Wanted.Patch != nil && samePatch(*in.Wanted.Patch, p) {
		return
	}
	err := k.config.KeepPatch(ctx, in.Session, p)
	if errors.Is(err, ErrLater) {
		k.room.keepAgain = k.now().Add(keepGap)
		return
	}
	if err != nil {
		k.room.keepTrouble = k.problem("keep-patch", "the patch that gave %s could not be kept in its file: %v", in.Session, err)
		k.room.keepTrouble.Severity = "warning"
	}
}

// keepGap is how long a file that somebody is writing is left alone.
const keepGap = 2 * time.Second

// keepLater keeps a patch that had to wait, if the room still gives its session.
func (k *Keeper) keepLater(ctx context.Context) {
	if !k.due(k.room.keepAgain) {
		return
	}
	k.room.keepAgain = time.Time{}
	if k.room.memory.Intent.Given && k.agrees() {
		k.keepPatch(ctx)
	}
}

// fact is how something is known from now on.
func (k *Keeper) fact(how How) Fact {
	f := Fact{How: how, Since: k.now()}
	if how == Told {
		f.Who = k.room.who
	}
	return f
}

func (k *Keeper) problem(code, format string, args ...any) *Problem {
	return &Problem{Code: code, Severity: "error", Message: fmt.Sprintf(format, args...), Since: k.now()}
}
