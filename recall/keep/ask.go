package keep

import (
	"context"
	"fmt"
	"slices"
	"time"

	"bayhand/model/plan"
)

// ask is one call of a Room on its way through the keeper.
type ask struct {
	act Act
	// plan is the answer to a preview.
	plan *plan.Plan
	// since is when it was done: older failures are none of it.
	since  time.Time
	begun  bool
	answer chan answer
}

type answer struct {
	Answer
	err error
}

// fresh asks are done after every device has been asked what it holds, and while
// none is being switched.
func (a *ask) fresh() bool {
	kind, _ := ActKindOf(a.act.Do)
	return kind.fresh
}

// look asks change nothing and wait for nothing afterwards.
func (a *ask) look() bool { return a.act.Do == ToPreview }

// ask hands a to Run and waits for its answer.
func (k *Keeper) ask(ctx context.Context, a *ask) (Answer, error) {
	a.answer = make(chan answer, 1)
	select {
	case k.asks <- a:
	case <-k.stopped:
		return Answer{}, ErrStopped
	case <-ctx.Done():
		return Answer{}, ctx.Err()
	}
	select {
	case got := <-a.answer:
		return got.Answer, got.err
	case <-k.stopped:
		return Answer{}, ErrStopped
	case <-ctx.Done():
		status, _ := k.board.newest(context.WithoutCancel(ctx), k.stopped)
		return Answer{Status: status}, ctx.Err()
	}
}

// begin starts the oldest pending ask, if it can; true if anything changed.
func (k *Keeper) begin(ctx context.Context) bool {
	if len(k.room.pending) == 0 {
		return false
	}
	a := k.room.pending[0]
	if a.fresh() && !a.begun {
		a.begun = true
		for _, h := range k.room.hands {
			k.hello(h)
		}
	}
	if a.fresh() && k.anyJob() || k.starting() {
		return false
	}
	k.room.pending = k.room.pending[1:]
	a.since = k.now()
	k.room.who = a.act.By
	err := k.takeAct(ctx, a)
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
	return len(k.room.pending) > 0 && k.room.pending[0].fresh()
}

// answerSettled answers every ask whose devices are done.
func (k *Keeper) answerSettled() {
	for _, a := range k.room.settling {
		k.reply(a, nil)
	}
	k.room.settling = nil
}

func (k *Keeper) reply(a *ask, err error) {
	got := Answer{Status: k.status(), Plan: a.plan}
	if err == nil && !a.look() {
		got.Unfinished = k.unfinished(a)
	}
	a.answer <- answer{got.clone(), err}
}

// unfinished is what a caller must hear beside the status: devices that do not
// answer or did not do what they were told. A recall hears of every device; what
// a person says of the bay only meets those that had to do something then.
func (k *Keeper) unfinished(a *ask) []Unfinished {
	var all []Unfinished
	waiting := next(k.room.studio, k.room.memory.Intent, k.room.memory.Known).Device
	for _, h := range k.room.hands {
		concerned := a.fresh() || slices.ContainsFunc(waiting, func(s plan.Step) bool { return s.By == h.matrix.Name })
		if !h.answers && concerned {
			all = append(all, Unfinished{Code(ErrNoAnswer), h.matrix.Name, fmt.Sprintf("%v: %s", ErrNoAnswer, h.describe())})
		}
	}
	for _, f := range k.room.memory.Intent.Failed {
		if f.Since.Before(a.since) {
			continue
		}
		all = append(all, Unfinished{f.Code, f.Matrix, f.Message})
	}
	if k.room.journalTrouble != nil {
		all = append(all, Unfinished{Code(ErrJournal), "", k.room.journalTrouble.Message})
	}
	return all
}
