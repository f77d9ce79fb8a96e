package keep

import (
	"context"
	"errors"
	"sync"
	"time"
)

// Keeper keeps one room: the loop around the machine, which brings it the facts and
// does what comes of them. Its methods may be called from anywhere.
type Keeper struct {
	config Config
	// hands are the acts of who stands at the bay, which go before asks, all others.
	hands, asks chan request
	look        chan struct{}
	facts       chan fact
	pings       chan struct{}
	// left are calls whose callers have gone.
	left  chan chan reply
	turns turns
	// stopped is closed when Run ends.
	stopped chan struct{}
	board   board
	running sync.WaitGroup
	writing writing

	// The fields below are Run's alone.
	machine machine
	workers map[int]*worker
	// callers are who waits for the answers to asks, by their numbers.
	callers map[int]chan reply
	numbers int
	harm    harm
	loud    loud
	// planners end the work on questions, by their numbers.
	planners map[int]context.CancelFunc
}

// request is a call of Act, which waits for the reply.
type request struct {
	act   Act
	reply chan reply
}

type reply struct {
	answer  Answer
	touched *touched
	err     error
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
		hands:   make(chan request),
		asks:    make(chan request),
		look:    make(chan struct{}, 1),
		facts:   make(chan fact),
		pings:   make(chan struct{}),
		left:    make(chan chan reply),
		turns:   newTurns(),
		stopped: make(chan struct{}),
		workers: map[int]*worker{},
		callers: map[int]chan reply{},

		planners: map[int]context.CancelFunc{},
	}
	k.machine.memory = memory
	k.machine.memory.Shut, k.machine.here = config.Shut, config.Rooms
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

// Status is the room as it is held now. It never waits for a device.
func (k *Keeper) Status(ctx context.Context) (Status, error) {
	return k.board.newest(ctx, k.stopped)
}

// Events gives the present status and then each new one. These are the same for all who
// follow: nobody changes anything in them.
func (k *Keeper) Events(ctx context.Context) (<-chan Status, error) {
	return k.board.watch(ctx)
}

// Act does what somebody asks of the room, or takes what somebody says of it. A recall
// whose caller leaves while it is being planned is given up; what is begun once the plan
// stands goes on without anybody waiting for it.
func (k *Keeper) Act(ctx context.Context, act Act) (Answer, error) {
	if err := act.Check(); err != nil {
		status, _ := k.Status(ctx)
		return Answer{Status: status}, err
	}
	if act.By == "" {
		act.By = k.config.Who
	}
	r := request{act, make(chan reply, 1)}
	select {
	case k.way(act) <- r:
	case <-k.stopped:
		return Answer{}, ErrStopped
	case <-ctx.Done():
		return Answer{}, ctx.Err()
	}
	select {
	case got := <-r.reply:
		got.answer.Does = got.touched.effect()
		return got.answer, got.err
	case <-k.stopped:
		return Answer{}, ErrStopped
	case <-ctx.Done():
		k.leaves(r.reply)
		status, _ := k.board.newest(context.WithoutCancel(ctx), k.stopped)
		return Answer{Status: status}, ctx.Err()
	}
}

// way is the channel of an act.
func (k *Keeper) way(act Act) chan request {
	if kind, _ := ActKindOf(act.Do); kind.ByHand {
		return k.hands
	}
	return k.asks
}

// leaves says that a caller has gone.
func (k *Keeper) leaves(caller chan reply) {
	select {
	case k.left <- caller: // only Run's goroutine takes it, which waits for nothing long
	case <-k.stopped:
	}
}

// Run keeps the room until the context ends, then lets go of every device. It
// is called once.
func (k *Keeper) Run(ctx context.Context) error {
	ctx, cancel := context.WithCancel(ctx)
	defer k.leave(cancel)
	k.machine.settings = k.settings()
	k.take(ctx, woken{})
	k.readFirst(ctx)
	k.take(ctx, leftAlone{})
	for {
		k.decideAll(ctx)
		select {
		case r := <-k.hands:
			k.begin(ctx, r)
			continue
		default: // no hand waits
		}
		alarm, stop := k.alarm()
		select {
		case r := <-k.hands:
			k.begin(ctx, r)
		case r := <-k.asks:
			k.begin(ctx, r)
		case f := <-k.facts:
			if p, ok := f.(planned); ok {
				k.stop(p.number)
			}
			k.take(ctx, f)
		case <-k.pings:
		case caller := <-k.left:
			for number, c := range k.callers {
				if c == caller {
					k.take(ctx, left{number})
				}
			}
		case <-k.look:
			k.take(ctx, looked{})
		case <-alarm:
		case <-ctx.Done():
			stop()
			return nil
		}
		stop()
	}
}

// begin takes in that somebody asked for an act.
func (k *Keeper) begin(ctx context.Context, r request) {
	k.numbers++
	k.callers[k.numbers] = r.reply
	k.take(ctx, asked{ask{number: k.numbers, act: r.act}})
}

func (k *Keeper) settings() settings {
	return settings{
		poll: k.config.Poll, retryFirst: k.config.RetryFirst, retryMost: k.config.RetryMost,
		asks: k.config.Asks, keepsPatch: k.config.KeepPatch != nil, once: k.config.Once,
	}
}

func (k *Keeper) leave(cancel func()) {
	cancel()
	k.running.Wait()
	close(k.stopped)
	k.board.close()
}

// alarm wakes the loop for the next poll or retry.
func (k *Keeper) alarm() (<-chan time.Time, func()) {
	now := k.config.Clock.Now()
	k.machine.at = now
	at := k.machine.alarm()
	if at.IsZero() {
		return nil, func() {}
	}
	return k.config.Clock.Timer(max(at.Sub(now), 0))
}
