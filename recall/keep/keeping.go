package keep

import (
	"context"
	"errors"
	"sync/atomic"
	"time"
)

// atOnce is how long the loop waits for a patch to be written. A disk needs less; one
// that does not answer holds up nobody for longer.
const atOnce = time.Second

// writing is the one patch that is being written into its session's file beside the
// loop. The zero writing is ready.
type writing struct{ busy atomic.Bool }

// keepPatch has a patch written into its session's file. What came of it is a fact: of
// now, or where the disk takes its time of later; until then no other is written, and
// one that would be waits.
func (k *Keeper) keepPatch(ctx context.Context, p keptPatch) {
	if !k.writing.busy.CompareAndSwap(false, true) {
		k.take(ctx, kept{session: p.session, later: true})
		return
	}
	done := make(chan kept, 1)
	go func() {
		err := k.config.KeepPatch(ctx, p.session, p.patch)
		k.writing.busy.Store(false)
		done <- kept{p.session, errors.Is(err, ErrLater), err}
	}()
	over, stop := k.config.Clock.Timer(atOnce)
	defer stop()
	select {
	case f := <-done:
		k.take(ctx, f)
	case <-over:
		k.running.Go(func() { k.bring(ctx, done) })
	case <-ctx.Done():
	}
}

// bring brings the loop what came of a patch in the end.
func (k *Keeper) bring(ctx context.Context, done <-chan kept) {
	select {
	case f := <-done:
		select {
		case k.facts <- f:
		case <-ctx.Done():
		}
	case <-ctx.Done(): // whatever the disk still waits for
	}
}
