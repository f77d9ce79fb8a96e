package keep

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"bayhand/model/plan"
)

// ask is one call of a Room on its way through the keeper.
type ask struct {
	do func(ctx context.Context) error
	// fresh asks are done after every device has been asked what it holds, and
	// while none is being switched.
	fresh bool
	// look asks change nothing and wait for nothing afterwards.
	look bool
	// plan replaces the plan of the status that is answered.
	plan *plan.Plan
	// who asks, for the history.
	who string
	// since is when it was done: older failures are none of it.
	since  time.Time
	begun  bool
	answer chan answer
}

type answer struct {
	status Status
	err    error
}

// ask hands a to Run and waits for its answer.
func (k *Keeper) ask(ctx context.Context, a *ask) (Status, error) {
	a.answer = make(chan answer, 1)
	a.who = k.who(ctx)
	select {
	case k.asks <- a:
	case <-k.stopped:
		return Status{}, ErrStopped
	case <-ctx.Done():
		return Status{}, ctx.Err()
	}
	select {
	case got := <-a.answer:
		return got.status, got.err
	case <-k.stopped:
		return Status{}, ErrStopped
	case <-ctx.Done():
		status, _ := k.board.newest(context.WithoutCancel(ctx), k.stopped)
		return status, ctx.Err()
	}
}

// begin starts the oldest pending ask, if it can; true if anything changed.
func (k *Keeper) begin(ctx context.Context) bool {
	if len(k.room.pending) == 0 {
		return false
	}
	a := k.room.pending[0]
	if a.fresh && !a.begun {
		a.begun = true
		for _, h := range k.room.hands {
			k.hello(h)
		}
	}
	if a.fresh && k.anyJob() || k.starting() {
		return false
	}
	k.room.pending = k.room.pending[1:]
	a.since = k.now()
	k.room.who = a.who
	err := a.do(ctx)
	k.room.who = ""
	if err != nil {
		k.reply(a, err)
		return true
	}
	k.room.settling = append(k.room.settling, a)
	return true
}

// interrupted is true while an ask waits for the devices to come to rest:
// nothing new is begun for what was intended before.
func (k *Keeper) interrupted() bool {
	return len(k.room.pending) > 0 && k.room.pending[0].fresh
}

// answerSettled answers every ask whose devices are done.
func (k *Keeper) answerSettled() {
	for _, a := range k.room.settling {
		if a.look {
			k.reply(a, nil)
			continue
		}
		k.reply(a, k.trouble(a))
	}
	k.room.settling = nil
}

func (k *Keeper) reply(a *ask, err error) {
	status := k.status()
	if a.plan != nil {
		status.Plan = a.plan
	}
	a.answer <- answer{status, err}
}

// trouble is what a caller must hear beside the status: devices that do not
// answer or did not do what they were told. A recall hears of every device; what
// a person says of the bay only meets those that had to do something then.
func (k *Keeper) trouble(a *ask) error {
	var all []error
	waiting := next(k.room.studio, k.room.memory.Intent, k.room.memory.Known).Device
	for _, h := range k.room.hands {
		concerned := a.fresh || slices.ContainsFunc(waiting, func(s plan.Step) bool { return s.By == h.matrix.Name })
		if !h.answers && concerned {
			all = append(all, fmt.Errorf("%w: %s", ErrNoAnswer, h.describe()))
		}
	}
	for _, f := range k.room.memory.Intent.Failed {
		if f.Since.Before(a.since) {
			continue
		}
		is := ErrDiffers
		if f.Code == Code(ErrRefused) {
			is = ErrRefused
		}
		all = append(all, tell(is, "%s", f.Message))
	}
	if k.room.journalTrouble != nil {
		all = append(all, tell(ErrJournal, "%s", k.room.journalTrouble.Message))
	}
	return errors.Join(all...)
}
