package keep

import (
	"context"
	"errors"
	"sync"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// worker is the goroutine that drives one device. It alone touches the link.
type worker struct {
	keeper *Keeper
	number int
	matrix studio.Matrix
	jobs   chan job
	end    context.CancelFunc

	// life ends with the worker; the fields below are its goroutine's alone.
	life   context.Context
	device Matrix // nil while there is no link
	said   string // its identity
	// deafen ends the listener, which hears what the device says by itself.
	deafen   context.CancelFunc
	listener sync.WaitGroup
}

// result is what came of a job.
type result struct {
	device    int
	job       job
	readsBack bool
	identity  string
	closed    []patch.Crosspoint
	// unclear are outputs of which the device said what is no input of it.
	unclear []name.Point
	err     error
	// refused is true where the device answered and said no.
	refused bool
}

// match starts a worker for each device that has none, and ends those whose device
// the studio has no more.
func (k *Keeper) match(ctx context.Context) {
	for _, d := range k.machine.devices.all {
		if k.workers[d.number] == nil {
			k.workers[d.number] = k.engage(ctx, d)
		}
	}
	for number, w := range k.workers {
		if k.machine.devices.numbered(number) == nil {
			w.end()
			delete(k.workers, number)
		}
	}
}

// engage starts the goroutine of a device.
func (k *Keeper) engage(ctx context.Context, d device) *worker {
	w := &worker{keeper: k, number: d.number, matrix: d.matrix, jobs: make(chan job, 1)}
	w.life, w.end = context.WithCancel(ctx)
	k.running.Go(w.run)
	return w
}

func (w *worker) run() {
	defer w.drop()
	for {
		select {
		case j := <-w.jobs:
			select {
			case w.keeper.facts <- w.work(j):
			case <-w.life.Done():
				return
			}
		case <-w.life.Done():
			return
		}
	}
}

// work does one job. After an error that was no refusal the link is opened anew
// the next time: what a half-read line holds belongs to no later question.
func (w *worker) work(j job) result {
	ctx, cancel := context.WithTimeout(w.life, w.keeper.config.Patience)
	defer cancel()
	r := result{device: w.number, job: j}
	r.err = w.do(ctx, j, &r)
	r.refused = r.err != nil && w.keeper.config.Refused(r.err)
	if r.err != nil && !r.refused {
		w.drop()
	}
	return r
}

func (w *worker) do(ctx context.Context, j job, r *result) error {
	if err := w.connect(ctx, j.identify); err != nil {
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

// connect opens the link where it is not open, and asks the device who it is,
// which it is asked anew where identify is true.
func (w *worker) connect(ctx context.Context, identify bool) (err error) {
	switch {
	case w.device != nil && !identify:
		return nil
	case w.device == nil:
		if w.device, err = w.keeper.config.Open(ctx, w.matrix); err != nil {
			w.device = nil
			return err
		}
		w.listen()
	}
	if i, ok := w.device.(Identifier); ok {
		w.said, err = i.Identify(ctx)
	}
	if err != nil && w.keeper.config.Refused(err) {
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

// listen hands on what the device says by itself, until it is dropped.
func (w *worker) listen() {
	r, ok := w.device.(Reporter)
	if !ok {
		return
	}
	ctx, deafen := context.WithCancel(w.life)
	w.deafen = deafen
	w.listener.Go(func() {
		for {
			report, err := r.Report(ctx)
			if err != nil {
				return
			}
			select {
			case w.keeper.facts <- saying{w.number, report}:
			case <-ctx.Done():
				return
			}
			gap, stop := w.keeper.config.Clock.Timer(reportGap)
			select {
			case <-gap:
			case <-ctx.Done():
				stop()
				return
			}
		}
	})
}
