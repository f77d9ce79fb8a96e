package keep

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"bayhand/model/plan"
)

// ask is one act on its way through the keeper.
type ask struct {
	// number is its own among all asks that there ever were.
	number int
	act    Act
	// came is when it was asked.
	came time.Time
	// polled is true once the devices have been asked for it. reading is the number of the
	// reading of the files that it waits for; 0 before it waits for one.
	polled  bool
	reading int
	// tries counts how often a plan was asked for. begun is when it was first, title what
	// the plan is for, and rooms where: none for all of them.
	tries int
	begun time.Time
	title string
	rooms []string
	// sessions are those that are planned again because of it.
	sessions []string
	// plan is the answer to a preview.
	plan *plan.Plan
	// touched is what an act at the bay changed.
	touched *touched
	// took and waits are what a batch of steps came to.
	took  []string
	waits []Later
	// since is when it was done: older failures are none of it.
	since time.Time
}

// asker is who needs a plan for it.
func (a ask) asker() asker { return asker{ask: a.number} }

// asks are those on their way: waiting for devices before they begin, held until what
// is being planned is planned, waiting for a plan, and begun and waiting for devices
// after it.
type asks struct{ waiting, held, planning, begun []ask }

func (a asks) clone() asks {
	return asks{slices.Clone(a.waiting), slices.Clone(a.held), slices.Clone(a.planning), slices.Clone(a.begun)}
}

// numbered is the one that waits for a plan; nil where none of that number does.
func (a asks) numbered(number int) *ask {
	i := slices.IndexFunc(a.planning, func(one ask) bool { return one.number == number })
	if i < 0 {
		return nil
	}
	return &a.planning[i]
}

// begunIn is the one that waits here and was done in other asks; false where none was.
func (a asks) begunIn(after asks) (int, bool) {
	still := slices.Concat(after.waiting, after.planning, after.held)
	for _, one := range slices.Concat(a.waiting, a.planning) {
		if !slices.ContainsFunc(still, func(s ask) bool { return s.number == one.number }) {
			return one.number, true
		}
	}
	return 0, false
}

// yield is true while an act waits for the devices to come to rest.
func (a asks) yield() bool { return len(a.waiting) > 0 && a.waiting[0].fresh() }

// drop takes an ask away that waits.
func (a *asks) drop(number int) {
	is := func(one ask) bool { return one.number == number }
	a.waiting, a.planning, a.held = slices.DeleteFunc(a.waiting, is), slices.DeleteFunc(a.planning, is), slices.DeleteFunc(a.held, is)
}

// fresh asks are done after every device has been asked what it holds, and while
// none is being switched, by the files as they are then.
func (a ask) fresh() bool {
	kind, _ := ActKindOf(a.act.Do)
	return kind.fresh
}

// look asks change nothing and wait for nothing afterwards.
func (a ask) look() bool { return a.act.Do == ToPreview }

// asked is the fact that somebody asked for an act.
type asked struct{ ask ask }

func (f asked) happened(k *machine) {
	f.ask.came = k.at
	k.asks.waiting = slices.Insert(k.asks.waiting, k.asks.placeOf(f.ask), f.ask)
}

// placeOf is where an ask comes in among those that wait: what hands did before the first
// that waits for devices and files, which may take long, all else after all others.
func (a asks) placeOf(one ask) int {
	kind, _ := ActKindOf(one.act.Do)
	if i := slices.IndexFunc(a.waiting, ask.fresh); i >= 0 && kind.ByHand && !one.fresh() {
		return i
	}
	return len(a.waiting)
}

// beginAsk begins the oldest ask that waits, as far as it can: the devices are
// asked, then the files are read, then it is done.
func beginAsk(k *machine) bool {
	if len(k.asks.waiting) == 0 {
		return false
	}
	if k.queue().holdFirst() {
		return true
	}
	a := &k.asks.waiting[0]
	if a.fresh() && !a.polled {
		a.polled = true
		for i := range k.devices.all {
			k.exchange(&k.devices.all[i]).poll()
		}
		return true
	}
	if k.awaits(*a) {
		return false
	}
	if k.passOver() {
		return true
	}
	if a.fresh() && a.reading == 0 {
		a.reading = k.reads.want()
		return true
	}
	if a.reading > k.reads.ended {
		return false
	}
	k.do(*a)
	return true
}

// do does an ask. What it changed is undone with the ask where it is refused.
func (k *machine) do(a ask) {
	k.asks.drop(a.number)
	a.since = k.at
	k.who = a.act.By
	err := k.act(&a)
	if errors.Is(err, errPlanning) {
		a.tries++
		k.asks.planning = append(k.asks.planning, a)
		return
	}
	k.inquirer().forget(a.asker())
	if err != nil {
		k.out.answers = append(k.out.answers, answered{ask: a.number, err: err})
		return
	}
	k.asks.begun = append(k.asks.begun, a)
}

// act does what was asked.
func (k *machine) act(a *ask) error {
	act := a.act
	if err := k.testSound().instead(act.Do); err != nil {
		return err
	}
	switch act.Do {
	case ToRecall:
		return k.recall(a)
	case ToPreview:
		return k.preview(a)
	case ToUndo:
		return k.undo(a)
	case ToListen:
		return k.testSound().listen(a)
	case Listened:
		a.sessions = k.memory.Intent.parts()
		k.testSound().end("the room was listened to")
		return nil
	case Replaced, ToPutBack, ToLeave:
		return k.ofMatrix(a)
	case WereDone, NotDone, StillSo, Plugged, Pulled, Moved, Faulty, Sound, WasHeard, NotHeard, ByEar, Number, CordFailed, Binned:
		return k.told(a)
	}
	return act.Check()
}

// ofMatrix does what was asked of one matrix.
func (k *machine) ofMatrix(a *ask) error {
	act := a.act
	h := k.devices.of(act.Matrix)
	if h == nil {
		return tell(ErrUsage, "there is no matrix %s that is driven", act.Matrix)
	}
	a.sessions = k.about(outsOf(h.matrix))
	x := k.exchange(h)
	switch act.Do {
	case Replaced:
		return x.replaced()
	case ToPutBack:
		return x.putBack()
	}
	return x.leave()
}

// told takes in what a person says of the bay, and asks for a new plan where there
// is a reason to.
func (k *machine) told(a *ask) error {
	t := telling{studio: k.studio, files: k.files, fact: k.fact(Told), m: k.memory}
	if err := t.takes(a.act); err != nil {
		return err
	}
	t.m.followNumbers(k.memory.Known)
	a.took, a.waits = t.took, t.waits
	if a.act.Do == Plugged || a.act.Do == Pulled || a.act.Do == Moved {
		a.touched = &touched{withGuests(k.studio, k.memory.Here(k.studio)), k.memory.Intent.merged(k.studio), k.memory.Known.Patch(), t.m.Known.Patch()}
	}
	if len(t.events) == 0 {
		return nil // it was so already
	}
	k.save(t.m, t.events...)
	if t.why != "" {
		k.replanner().want(t.at, "%s", t.why)
		a.sessions = k.about(t.at)
	}
	return nil
}

// answerBegun answers every ask whose devices are done, and at once those that
// change nothing.
func answerBegun(k *machine) bool {
	busy := k.stage().busy()
	var left []ask
	for _, a := range k.asks.begun {
		switch {
		case a.look():
			k.out.answers = append(k.out.answers, answered{ask: a.number, plan: a.plan})
		case busy || k.replanner().waitsFor(a):
			left = append(left, a)
		default:
			k.out.answers = append(k.out.answers, answered{ask: a.number, touched: a.touched, took: a.took, waits: a.waits, unfinished: view{k}.unfinished(a)})
		}
	}
	k.asks.begun = left
	return len(k.out.answers) > 0
}

// unfinished is what a caller must hear beside the status: devices that do not
// answer or did not do what they were told. A recall hears of every device; what
// a person says of the bay only meets those that had to do something then.
func (v view) unfinished(a ask) []Unfinished {
	var all []Unfinished
	waiting := next(v.k.studio, v.k.memory.Intent, v.k.memory.Known).Device
	for _, h := range v.k.devices.all {
		concerned := a.fresh() || slices.ContainsFunc(waiting, func(s plan.Step) bool { return s.By == h.matrix.Name })
		if !h.answers && concerned {
			all = append(all, Unfinished{Code(ErrNoAnswer), h.matrix.Name, fmt.Sprintf("%v: %s", ErrNoAnswer, h.describe())})
		}
	}
	for _, f := range v.k.memory.Intent.Failed {
		if f.Since.Before(a.since) {
			continue
		}
		all = append(all, Unfinished{f.Code, f.Matrix, f.Message})
	}
	if v.k.journal.trouble != nil {
		all = append(all, Unfinished{Code(ErrJournal), "", v.k.journal.trouble.Message})
	}
	return all
}
