package page

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"slices"
	"sync"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

const (
	// previewTime is the longest that a way is looked for.
	previewTime = 20 * time.Second
	// mostWays are remembered at once.
	mostWays = 32
	// tryAgain is how long a way that could not be worked out is not tried again.
	tryAgain = 30 * time.Second
)

// ways are what recalls would do, each worked out once for everybody who looks at
// it, and one at a time: who looks never takes more than a core from who acts.
type ways struct {
	plan func(context.Context, plan.Request) (*plan.Plan, error)
	// told is called when a way is there that somebody waited for in vain.
	told func()
	// one is held by the way that is being worked out.
	one chan struct{}
	// mu guards the fields below.
	mu sync.Mutex
	// known are by the names of their sessions; count says how old each is.
	known map[string]*way
	count int
}

// way is one question with its answer.
type way struct {
	// asks is the sum of the question: the patch, the session, what is broken.
	asks  [sha256.Size]byte
	age   int
	stop  context.CancelFunc
	done  chan struct{} // closed when the fields below are set
	made  *plan.Plan
	err   error
	ended time.Time
}

func newWays(make func(context.Context, plan.Request) (*plan.Plan, error), told func()) *ways {
	return &ways{plan: make, told: told, one: newSlot(), known: map[string]*way{}}
}

func newSlot() chan struct{} {
	one := make(chan struct{}, 1)
	one <- struct{}{}
	return one
}

// to is the way to a session. It is waited for no longer than the context lasts,
// and worked out all the same; ready is false then.
func (w *ways) to(ctx context.Context, called string, ask keep.Preview) (made *plan.Plan, err error, ready bool) {
	one, err := w.of(called, ask)
	if err != nil {
		return nil, err, true
	}
	select {
	case <-one.done:
		return one.made, one.err, true
	case <-ctx.Done():
		return nil, nil, false
	}
}

// of is the way that answers a question, begun if nobody has asked for it before. A
// way of the same session from another patch is stopped: nobody needs it any more.
func (w *ways) of(called string, ask keep.Preview) (*way, error) {
	sum, err := sumOf(ask.Whole)
	if err != nil {
		return nil, err
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	w.count++
	if has := w.known[called]; has != nil {
		if has.asks == sum && !has.stale() {
			has.age = w.count
			return has, nil
		}
		has.stop()
	}
	ctx, stop := context.WithTimeout(context.Background(), previewTime)
	one := &way{asks: sum, age: w.count, stop: stop, done: make(chan struct{})}
	w.known[called] = one
	w.forget()
	go w.work(ctx, one, ask)
	return one, nil
}

// stale says whether the way may be tried again.
func (w *way) stale() bool {
	select {
	case <-w.done:
		return w.err != nil && time.Since(w.ended) >= tryAgain
	default:
		return false
	}
}

// forget drops the way that was asked for the longest ago, where there are too many.
func (w *ways) forget() {
	if len(w.known) <= mostWays {
		return
	}
	oldest := ""
	for called, one := range w.known {
		if oldest == "" || one.age < w.known[oldest].age {
			oldest = called
		}
	}
	w.known[oldest].stop()
	delete(w.known, oldest)
}

func (w *ways) work(ctx context.Context, one *way, ask keep.Preview) {
	defer one.stop()
	select {
	case <-w.one:
		one.made, one.err = ask.Plan(func(asked plan.Request) (*plan.Plan, error) { return w.plan(ctx, asked) })
		w.one <- struct{}{}
	case <-ctx.Done():
		one.err = ctx.Err()
	}
	one.ended = time.Now()
	close(one.done)
	w.told()
}

// sumOf is that of what a plan depends on, but for the studio: a page is made anew
// for another. What is faulty is a person's word as well, and gear that leads hang from
// may be a guest.
func sumOf(ask plan.Request) ([sha256.Size]byte, error) {
	text, err := json.Marshal(struct {
		From    patch.Patch
		Session *session.Session
		Inside  []studio.Pass
		Faulty  []name.Point
		Hangs   []studio.Gear
	}{ask.From, ask.Session, ask.PreviousInside, ask.Studio.Faulty, hanging(ask)})
	return sha256.Sum256(text), err
}

// hanging is the gear that leads hang from.
func hanging(ask plan.Request) []studio.Gear {
	var all []studio.Gear
	for _, g := range ask.Studio.Gear {
		if slices.ContainsFunc(ask.From.Leads, func(l patch.Lead) bool { return l.Port.Owner == g.Name || l.Jack.Owner == g.Name }) {
			all = append(all, g)
		}
	}
	return all
}
