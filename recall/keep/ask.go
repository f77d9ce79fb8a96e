package keep

import (
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
	// polled is true once the devices have been asked for it, and read once the
	// files have been.
	polled, read bool
	// plan is the answer to a preview.
	plan *plan.Plan
	// touched is what an act at the bay changed.
	touched *touched
	// since is when it was done: older failures are none of it.
	since time.Time
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

func (f asked) happened(k *machine) { k.waiting = append(k.waiting, f.ask) }

// beginAsk begins the oldest ask that waits, as far as it can: the devices are
// asked, then the files are read, then it is done.
func (k *machine) beginAsk() bool {
	if len(k.waiting) == 0 {
		return false
	}
	a := &k.waiting[0]
	if a.fresh() && !a.polled {
		a.polled = true
		for i := range k.devices {
			k.poll(&k.devices[i])
		}
		return true
	}
	if a.fresh() && k.asking() || k.starts() {
		return false
	}
	if a.fresh() && !a.read {
		a.read = true
		k.out.load, k.out.sessions = true, k.wanted(a.act.Session)
		return true
	}
	k.do(*a)
	return true
}

// do does an ask. What it changed is undone with the ask where it is refused.
func (k *machine) do(a ask) {
	k.waiting = k.waiting[1:]
	a.since = k.at
	k.who = a.act.By
	if err := k.act(&a); err != nil {
		k.out.answers = append(k.out.answers, answered{ask: a.number, err: err})
		return
	}
	k.begun = append(k.begun, a)
}

// act does what was asked.
func (k *machine) act(a *ask) (err error) {
	act := a.act
	switch act.Do {
	case ToRecall:
		return k.recall(act.Session, act.Options)
	case ToPreview:
		a.plan, err = k.preview(act.Session, act.Options)
		return err
	case ToUndo:
		return k.undo()
	case WereDone:
		return k.tick(act)
	case NotDone:
		return k.untick(act.IDs)
	case StillSo:
		return k.still()
	case Plugged, Pulled, Moved:
		before := k.memory.Known
		if err := k.byHand(act.Do, act.A, act.B); err != nil {
			return err
		}
		a.touched = &touched{k.studio, k.memory.Intent.together(k.studio), before.Patch(), k.memory.Known.Patch()}
		return nil
	case Faulty, Sound:
		return k.tag(act.A, act.Do == Faulty)
	case WasHeard:
		return k.heard(act.A, act.B, Measured)
	case NotHeard:
		return k.heard(act.A, act.B, Told)
	case Replaced:
		return k.replaced(act.Matrix)
	case ToPutBack:
		return k.putBack(act.Matrix)
	case ToLeave:
		return k.leave(act.Matrix)
	}
	return act.Check()
}

// refuse takes an ask away that could not be written down.
func (k *machine) refuse(number int) {
	k.waiting = slices.DeleteFunc(k.waiting, func(a ask) bool { return a.number == number })
	k.out.answers = append(k.out.answers, answered{ask: number, err: tell(ErrJournal, "%s", k.journal.trouble.Message)})
}

// answerBegun answers every ask whose devices are done, and at once those that
// change nothing.
func (k *machine) answerBegun() bool {
	busy := k.stage().busy()
	var left []ask
	for _, a := range k.begun {
		switch {
		case a.look():
			k.out.answers = append(k.out.answers, answered{ask: a.number, plan: a.plan})
		case busy:
			left = append(left, a)
		default:
			k.out.answers = append(k.out.answers, answered{ask: a.number, touched: a.touched, unfinished: k.unfinished(a)})
		}
	}
	k.begun = left
	return len(k.out.answers) > 0
}

// unfinished is what a caller must hear beside the status: devices that do not
// answer or did not do what they were told. A recall hears of every device; what
// a person says of the bay only meets those that had to do something then.
func (k *machine) unfinished(a ask) []Unfinished {
	var all []Unfinished
	waiting := next(k.studio, k.memory.Intent, k.memory.Known).Device
	for _, h := range k.devices {
		concerned := a.fresh() || slices.ContainsFunc(waiting, func(s plan.Step) bool { return s.By == h.matrix.Name })
		if !h.answers && concerned {
			all = append(all, Unfinished{Code(ErrNoAnswer), h.matrix.Name, fmt.Sprintf("%v: %s", ErrNoAnswer, h.describe())})
		}
	}
	for _, f := range k.memory.Intent.Failed {
		if f.Since.Before(a.since) {
			continue
		}
		all = append(all, Unfinished{f.Code, f.Matrix, f.Message})
	}
	if k.journal.trouble != nil {
		all = append(all, Unfinished{Code(ErrJournal), "", k.journal.trouble.Message})
	}
	return all
}
