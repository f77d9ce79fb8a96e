package border

import (
	"context"
	"sync"
)

// Board hands each view to whoever watches. The zero Board has no watchers.
type Board struct {
	// mu guards the field below.
	mu       sync.Mutex
	watchers map[chan View]struct{}
}

// Watch adds a watcher, until the context ends. It has the newest view to begin with; whoever
// calls keeps Post from being called between making that view and this.
func (b *Board) Watch(ctx context.Context, newest View) <-chan View {
	w := make(chan View, 1)
	w <- newest
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.watchers == nil {
		b.watchers = map[chan View]struct{}{}
	}
	b.watchers[w] = struct{}{}
	context.AfterFunc(ctx, func() { b.forget(w) })
	return w
}

// Post hands out a view in the place of what nobody has taken. It waits for nobody.
func (b *Board) Post(v View) {
	b.mu.Lock()
	defer b.mu.Unlock()
	for w := range b.watchers {
		select {
		case <-w:
		default:
		}
		w <- v // only Post sends, and it holds the lock: there is room
	}
}

func (b *Board) forget(w chan View) {
	b.mu.Lock()
	defer b.mu.Unlock()
	delete(b.watchers, w)
	close(w)
}
