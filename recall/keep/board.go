package keep

import (
	"context"
	"sync"
)

// board holds the newest status for whoever wants to see it.
type board struct {
	// mu guards the fields below.
	mu       sync.Mutex
	status   Status
	ready    chan struct{} // closed once there is a status
	watchers map[chan Status]struct{}
	closed   bool
	// last is what was posted, for Run's goroutine alone.
	last Status
}

func (b *board) readyLocked() chan struct{} {
	if b.ready == nil {
		b.ready = make(chan struct{})
	}
	return b.ready
}

// newest waits only for the first status of all.
func (b *board) newest(ctx context.Context, stopped <-chan struct{}) (Status, error) {
	b.mu.Lock()
	ready := b.readyLocked()
	b.mu.Unlock()
	select {
	case <-ready:
	case <-stopped:
		return Status{}, ErrStopped
	case <-ctx.Done():
		return Status{}, ctx.Err()
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return Status{}, ErrStopped
	}
	return b.status.clone(), nil
}

// post shows a new status to everyone, and waits for nobody. It is one for all, which
// nobody changes: a copy for each of a hundred screens takes longer than what it tells.
func (b *board) post(s Status) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.status.Seq == 0 {
		close(b.readyLocked())
	}
	b.status = s
	for w := range b.watchers {
		replace(w, s)
	}
}

// replace puts s into a channel of one, in the place of what nobody has taken.
func replace(w chan Status, s Status) {
	select {
	case <-w:
	default:
	}
	w <- s // only post sends, and it holds the lock: there is room
}

func (b *board) watch(ctx context.Context) (<-chan Status, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return nil, ErrStopped
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	w := make(chan Status, 1)
	if b.watchers == nil {
		b.watchers = map[chan Status]struct{}{}
	}
	b.watchers[w] = struct{}{}
	if b.status.Seq > 0 {
		w <- b.status
	}
	context.AfterFunc(ctx, func() { b.forget(w) })
	return w, nil
}

func (b *board) forget(w chan Status) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if _, ok := b.watchers[w]; ok {
		delete(b.watchers, w)
		close(w)
	}
}

func (b *board) close() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.closed = true
	for w := range b.watchers {
		delete(b.watchers, w)
		close(w)
	}
}
