package keep

import (
	"context"
	"reflect"
	"slices"
)

// take gives the machine a fact.
func (k *Keeper) take(ctx context.Context, f fact) {
	k.accept(ctx, k.machine.apply(k.config.Clock.Now(), f))
}

// decideAll lets the machine decide whatever it has to, shows the status, and
// answers those whose acts are done.
func (k *Keeper) decideAll(ctx context.Context) {
	for _, d := range first {
		k.decide(ctx, d)
	}
	for slices.ContainsFunc(then, func(d decision) bool { return k.decide(ctx, d) }) {
	}
	k.post()
	for _, d := range last {
		k.decide(ctx, d)
	}
}

// decide lets the machine take a decision, and says whether there was anything to
// do and it was done.
func (k *Keeper) decide(ctx context.Context, d decision) bool {
	if ctx.Err() != nil {
		return false // it ends, and may not have read what the decision is about
	}
	after, any := k.machine.decide(k.config.Clock.Now(), d)
	return any && k.accept(ctx, after)
}

// accept saves what the machine wants saved, takes what it has become for the
// machine, and then does everything else that comes of it. Where it could not be
// saved the machine stays as it was, and it is false.
func (k *Keeper) accept(ctx context.Context, after machine) bool {
	out := after.out
	for _, s := range out.saves {
		err := k.config.Journal.Write(s.memory, slices.Concat(after.journal.unwritten, s.events))
		switch {
		case err == nil:
			after.journal = journalState{}
		case s.learned:
			after.journal.failed(err, after.at, after.settings.retryMost)
			after.journal.unwritten = slices.Concat(after.journal.unwritten, s.events)
		default:
			return k.reject(after, err)
		}
	}
	k.machine = after
	k.match(ctx)
	k.send(out.orders)
	for _, number := range out.stops {
		k.stop(number)
	}
	for _, q := range out.questions {
		k.put(ctx, q)
	}
	if out.settles != nil {
		k.hear(ctx, *out.settles)
	}
	k.answer(out.answers)
	if out.reading > 0 {
		k.read(ctx, out.reading, out.sessions)
	}
	if out.keep != nil {
		k.keepPatch(ctx, *out.keep)
	}
	return true
}

// reject leaves the machine as it was, and refuses the ask that would have changed
// it, if it was one.
func (k *Keeper) reject(after machine, err error) bool {
	was := k.machine.copy(after.at)
	was.journal.failed(err, after.at, after.settings.retryMost)
	number, refused := k.machine.asks.begunIn(after.asks)
	if refused {
		was.queue().refuse(number, tell(ErrJournal, "%s", was.journal.trouble.Message))
	}
	k.machine = was
	for _, number := range was.out.stops {
		k.stop(number)
	}
	k.answer(was.out.answers)
	return refused
}

// send hands jobs to the workers.
func (k *Keeper) send(orders []order) {
	if slices.ContainsFunc(orders, func(o order) bool { return o.job.step != nil }) {
		k.post() // nobody may see as known what is about to change
	}
	for _, o := range orders {
		if w := k.workers[o.device]; w != nil {
			w.jobs <- o.job // a device has one job at a time, and room for it
		}
	}
}

// answer hands answers to who waits for them, each with the status of now.
func (k *Keeper) answer(all []answered) {
	for _, a := range all {
		got := Answer{Status: k.status(), Unfinished: a.unfinished, Took: a.took, Waits: a.waits, Plan: a.plan}
		k.callers[a.ask] <- reply{got.clone(), a.touched, a.err}
		delete(k.callers, a.ask)
	}
}

// status is the room as it is held, with what others of the house have found.
func (k *Keeper) status() Status {
	var notes []Problem
	if k.config.Notes != nil {
		notes = k.config.Notes()
	}
	s := view{&k.machine}.status(notes)
	if at := k.machine.site; at != nil {
		s.Problems = slices.Concat(k.harm.current(at.room, k.machine.studio, k.machine.memory, k.config.Clock.Now()), k.loud.problems(at.room, &k.machine), s.Problems)
	}
	s.Seq = k.board.last.Seq
	return s
}

// post shows the status where anything in it is new.
func (k *Keeper) post() {
	s := k.status()
	if s.Seq > 0 && reflect.DeepEqual(s, k.board.last) {
		return
	}
	s.Seq++
	k.board.last = s
	k.board.post(s.clone())
}
