package keep

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// hand is what the keeper drives one matrix with. Its goroutine alone touches
// the device; everything else here is the keeper's.
type hand struct {
	matrix studio.Matrix
	jobs   chan *job
	end    context.CancelFunc
	// job is in progress; nil when the hand rests.
	job *job
	// next is when it is asked again unbidden; zero for never.
	next time.Time
	// tried is true after the first job.
	tried bool
	// answers is true after the device answered, until it fails to.
	answers   bool
	readsBack bool
	identity  string
	problem   string
	since     time.Time
	failures  int
	// reported is true after it said something by itself, until it is asked.
	reported bool
	// said is what one that cannot be asked said while something was sent to it.
	said []Report
	// unclear are the outputs that it said no input of when it was read last.
	unclear []name.Point
	// restored are when it was put back after a drift, within the last minute.
	restored []time.Time
}

// job is one exchange with a device: a read, or a switch where step is set.
type job struct {
	step        *plan.Step
	open, close []patch.Crosspoint
	// proves is the step that a read proves.
	proves *plan.Step
}

// counts says whether somebody waits for the job: a poll is nobody's.
func (j *job) counts() bool { return j != nil && (j.step != nil || j.proves != nil) }

// result is what came of a job.
type result struct {
	hand      *hand
	job       *job
	readsBack bool
	identity  string
	closed    []patch.Crosspoint
	// unclear are outputs of which the device said what is no input of it.
	unclear []name.Point
	err     error
}

func (h *hand) describe() string {
	return fmt.Sprintf("%s at %s: %s", h.matrix.Name, h.matrix.Device.Link, h.problem)
}

// engage starts the goroutine of a driven matrix.
func (k *Keeper) engage(ctx context.Context, m studio.Matrix) *hand {
	ctx, cancel := context.WithCancel(ctx)
	h := &hand{matrix: m, jobs: make(chan *job, 1), end: cancel, problem: "it was not asked yet", since: k.now()}
	k.hands.Go(func() {
		w := worker{keeper: k, hand: h, matrix: m, life: ctx}
		defer w.drop()
		for {
			select {
			case j := <-h.jobs:
				if !w.report(ctx, w.work(ctx, j)) {
					return
				}
			case <-ctx.Done():
				return
			}
		}
	})
	return h
}

// worker is the goroutine's own side of a hand.
type worker struct {
	keeper *Keeper
	hand   *hand
	matrix studio.Matrix
	life   context.Context
	device Matrix // nil while there is no link
	said   string // its identity
	// deafen ends the listener, which hears what the device says by itself.
	deafen   context.CancelFunc
	listener sync.WaitGroup
}

// work does one job. After an error that was no refusal the link is opened anew
// the next time: what a half-read line holds belongs to no later question.
func (w *worker) work(ctx context.Context, j *job) result {
	ctx, cancel := context.WithTimeout(ctx, w.keeper.config.Patience)
	defer cancel()
	r := result{hand: w.hand, job: j}
	r.err = w.do(ctx, j, &r)
	if r.err != nil && !w.keeper.refused(r.err) {
		w.drop()
	}
	return r
}

func (w *worker) do(ctx context.Context, j *job, r *result) error {
	if err := w.connect(ctx); err != nil {
		return err
	}
	r.readsBack, r.identity = w.device.ReadsBack(), w.said
	if j.step != nil {
		return w.device.Switch(ctx, j.open, j.close)
	}
	if !r.readsBack {
		return nil
	}
	var err error
	r.closed, err = w.device.Read(ctx)
	var some Unclear
	if errors.As(err, &some) {
		r.unclear, err = some.Unclear(), nil
	}
	return err
}

func (w *worker) connect(ctx context.Context) (err error) {
	if w.device != nil {
		return nil
	}
	if w.device, err = w.keeper.config.Open(ctx, w.matrix); err != nil {
		w.device = nil
		return err
	}
	w.listen(w.life)
	if i, ok := w.device.(Identifier); ok {
		w.said, err = i.Identify(ctx)
	}
	if err != nil && w.keeper.refused(err) {
		return nil // it answers, and would rather not say who it is
	}
	return err
}

func (w *worker) drop() {
	if w.device != nil {
		// A link that failed has nothing more to say when it is closed.
		_ = w.device.Close()
	}
	if w.deafen != nil {
		w.deafen()
		w.listener.Wait()
	}
	w.device, w.deafen = nil, nil
}

func (w *worker) report(ctx context.Context, r result) bool {
	select {
	case w.keeper.results <- r:
		return true
	case <-ctx.Done():
		return false
	}
}

// give hands a job to a resting hand.
func (h *hand) give(j *job) {
	h.job = j
	h.jobs <- j
}

// hello asks a resting hand what its device holds.
func (k *Keeper) hello(h *hand) {
	if h.job == nil {
		h.reported = false
		h.give(&job{})
	}
}

// callRound says hello to those whose time has come.
func (k *Keeper) callRound() {
	if k.interrupted() {
		return
	}
	for _, h := range k.room.hands {
		if h.job == nil && k.due(h.next) {
			k.hello(h)
		}
	}
}

// due says whether a time has come. One that lies further ahead than anything is
// ever put off has come too: the clock was set back.
func (k *Keeper) due(t time.Time) bool {
	ahead := t.Sub(k.now())
	return !t.IsZero() && (ahead <= 0 || ahead > max(k.config.Poll, k.config.RetryMost))
}

// rest sets when a hand is asked again.
func (k *Keeper) rest(h *hand) {
	h.next = time.Time{}
	switch {
	case !h.answers:
		wait := k.config.RetryFirst
		for i := 1; i < h.failures && wait < k.config.RetryMost; i++ {
			wait *= 2
		}
		h.next = k.now().Add(min(wait, k.config.RetryMost))
	case h.reported:
		h.next = k.now()
	case h.readsBack && k.config.Poll > 0:
		h.next = k.now().Add(k.config.Poll)
	}
}

// A device that was put back this often within a minute is left as it is: it
// does not hold what it is told, or somebody is working on it.
const (
	mostRestores  = 3
	restoreWithin = time.Minute
)

func (h *hand) unsteady() bool { return len(h.restored) >= mostRestores }

// mayRestore counts a restoration; false when there were too many.
func (h *hand) mayRestore(now time.Time) bool {
	if h.unsteady() {
		return false
	}
	h.restored = slices.DeleteFunc(h.restored, func(t time.Time) bool { return now.Sub(t).Abs() >= restoreWithin })
	h.restored = append(h.restored, now)
	return true
}

func (k *Keeper) refused(err error) bool {
	if k.config.Refused == nil {
		return Code(err) == Code(ErrRefused)
	}
	return k.config.Refused(err)
}

func (k *Keeper) now() time.Time { return k.config.Clock.Now() }

func (k *Keeper) handOf(matrix string) *hand {
	for _, h := range k.room.hands {
		if h.matrix.Name == matrix {
			return h
		}
	}
	return nil
}

// anyJob says whether any device is being asked anything.
func (k *Keeper) anyJob() bool {
	for _, h := range k.room.hands {
		if h.job != nil {
			return true
		}
	}
	return false
}

// switching says whether any device is on the way from one state to another.
func (k *Keeper) switching() bool {
	for _, h := range k.room.hands {
		if h.job.counts() {
			return true
		}
	}
	return false
}

// starting says whether some device was not asked once yet.
func (k *Keeper) starting() bool {
	for _, h := range k.room.hands {
		if !h.tried {
			return true
		}
	}
	return false
}
