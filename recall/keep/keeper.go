package keep

import (
	"context"
	"errors"
	"sync"
	"time"

	"bayhand/model/studio"
)

// Keeper keeps one room. Its methods may be called from anywhere; what they ask
// is done on the one goroutine of Run.
type Keeper struct {
	config  Config
	asks    chan *ask
	look    chan struct{}
	results chan result
	sayings chan saying
	pings   chan struct{}
	// stopped is closed when Run ends.
	stopped chan struct{}
	board   board
	hands   sync.WaitGroup

	// room is Run's alone.
	room room
}

// room is everything that Run's goroutine owns.
type room struct {
	memory Memory
	files  Files
	// studio is the last that could be read; nil before the first.
	studio *studio.Studio
	hands  []*hand
	// pending are asks that wait for devices before they begin; settling are
	// those that wait for devices after it.
	pending, settling []*ask
	// replan is why the way must be made anew; empty if it need not be.
	replan string
	// who asks for what is being done; empty for what nobody asked for just now.
	who string
	// notes are problems that stay until the next recall.
	notes []Problem
	// planTrouble, journalTrouble and keepTrouble are why the last attempt failed.
	planTrouble, journalTrouble, keepTrouble *Problem
	// journalAgain is when the journal is tried again after a failure.
	journalAgain time.Time
	// keepAgain is when a patch is to be written into its session's file after
	// somebody was writing that; zero for never.
	keepAgain time.Time
	// woke is when Run began.
	woke time.Time
	// unwritten is what devices did while the journal could not be written.
	unwritten []Event
	// unread is since when the intended session's file cannot be read.
	unread time.Time
}

// New makes a keeper that remembers what the journal holds. Nothing is done
// until Run.
func New(config Config) (*Keeper, error) {
	if config.Open == nil || config.Load == nil || config.Plan == nil || config.Journal == nil {
		return nil, errors.New("a keeper needs Open, Load, Plan and a Journal")
	}
	memory, err := config.Journal.Load()
	if err != nil {
		return nil, err
	}
	k := &Keeper{
		config:  config.withDefaults(),
		asks:    make(chan *ask),
		look:    make(chan struct{}, 1),
		results: make(chan result),
		sayings: make(chan saying),
		pings:   make(chan struct{}),
		stopped: make(chan struct{}),
	}
	// Nobody knows what happened to a device that cannot be asked while no keeper ran.
	memory.disbelieve(k.fact(Assumed), nil)
	k.room.memory = memory
	return k, nil
}

// Look says that the files may have changed. It never waits.
func (k *Keeper) Look() {
	select {
	case k.look <- struct{}{}:
	default: // one look is waiting already
	}
}

// Ping waits until the keeper's goroutine has come round: a keeper that hangs
// does not answer. It asks no device.
func (k *Keeper) Ping(ctx context.Context) error {
	select {
	case k.pings <- struct{}{}:
		return nil // only Run's goroutine takes it
	case <-k.stopped:
		return ErrStopped
	case <-ctx.Done():
		return ctx.Err()
	}
}

// Run keeps the room until the context ends, then lets go of every device. It
// is called once.
func (k *Keeper) Run(ctx context.Context) error {
	ctx, cancel := context.WithCancel(ctx)
	defer k.leave(cancel)
	k.wake(ctx)
	for {
		k.settle(ctx)
		alarm, stop := k.alarm()
		select {
		case a := <-k.asks:
			k.room.pending = append(k.room.pending, a)
		case r := <-k.results:
			k.hear(r)
		case s := <-k.sayings:
			k.heed(s)
		case <-k.pings:
		case <-k.look:
			k.reread(ctx)
		case <-alarm:
		case <-ctx.Done():
			stop()
			return nil
		}
		stop()
	}
}

func (k *Keeper) leave(cancel func()) {
	cancel()
	k.hands.Wait()
	close(k.stopped)
	k.board.close()
}

// wake reads the files and says hello to every device.
func (k *Keeper) wake(ctx context.Context) {
	k.room.woke = k.now()
	k.room.memory.Known.doubtAll(k.fact(Assumed))
	k.reread(ctx)
	k.askStill()
}

// alarm wakes the loop for the next poll or retry.
func (k *Keeper) alarm() (<-chan time.Time, func()) {
	var first time.Time
	consider := func(t time.Time) {
		if !t.IsZero() && (first.IsZero() || t.Before(first)) {
			first = t
		}
	}
	consider(k.room.journalAgain)
	consider(k.room.keepAgain)
	for _, h := range k.room.hands {
		if h.job == nil {
			consider(h.next)
		}
	}
	if first.IsZero() {
		return nil, func() {}
	}
	if k.due(first) {
		first = k.now()
	}
	return k.config.Clock.Timer(max(first.Sub(k.now()), 0))
}

// Status is the room as it is held now. It never waits for a device.
func (k *Keeper) Status(ctx context.Context) (Status, error) {
	return k.board.newest(ctx, k.stopped)
}

// Events gives the present status and then each new one.
func (k *Keeper) Events(ctx context.Context) (<-chan Status, error) {
	return k.board.watch(ctx)
}

// Act does what somebody asks of the room, or takes what somebody says of it.
func (k *Keeper) Act(ctx context.Context, act Act) (Answer, error) {
	if err := act.Check(); err != nil {
		status, _ := k.Status(ctx)
		return Answer{Status: status}, err
	}
	if act.By == "" {
		act.By = k.config.Who
	}
	return k.ask(ctx, &ask{act: act})
}

// take does an act, once its devices have been asked.
func (k *Keeper) takeAct(ctx context.Context, a *ask) (err error) {
	act := a.act
	switch act.Do {
	case ToRecall:
		return k.recall(ctx, act.Session, act.Options)
	case ToPreview:
		a.plan, err = k.preview(ctx, act.Session, act.Options)
		return err
	case ToUndo:
		return k.undo(ctx)
	case WereDone:
		return k.tick(act)
	case NotDone:
		return k.untick(act.IDs)
	case StillSo:
		return k.still()
	case Plugged:
		return k.plug(act.A, act.B)
	case Pulled:
		return k.pull(act.A)
	case Moved:
		return k.move(act.A, act.B)
	case Faulty, Sound:
		return k.tag(act.A, act.Do == Faulty)
	}
	return act.Check()
}
