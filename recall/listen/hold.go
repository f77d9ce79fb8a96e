package listen

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// Hold is what matrices are switched to while the room is listened to: loudspeakers that
// are muted, and a crosspoint of a probe. The keeper switches it and puts it back, also
// where this process ends first.
type Hold struct {
	room keep.Room
	// Changes are what is switched.
	Changes []plan.Change
}

// ErrNotHeld is what is to be switched to listen, and is not read back so.
var ErrNotHeld = errors.New("what is to be muted or switched while the room is listened to is not read back so")

// Needs are the changes that the plan needs while it plays: what is to be muted.
func (l *Plan) Needs() []plan.Change { return meanwhile(l.Muted) }

// Take switches changes, of which there may be none, and reads them back. Whoever took a Hold releases it. Where it
// fails nothing stays switched.
func Take(ctx context.Context, room keep.Room, changes []plan.Change) (*Hold, error) {
	h := &Hold{room, changes}
	err := h.Still(ctx)
	switch {
	case err == nil:
		return h, nil
	case errors.Is(err, keep.ErrConflict), errors.Is(err, keep.ErrUsage):
		return nil, err // nothing was switched, or somebody else listens
	}
	return nil, errors.Join(err, h.Release(ctx))
}

// Still says that it is listened on, and has the devices read once more: ErrNotHeld
// where something is not as it was switched. The keeper puts all back where it hears
// nothing for a minute.
func (h *Hold) Still(ctx context.Context) error {
	if len(h.Changes) == 0 {
		return nil
	}
	got, err := h.room.Act(ctx, keep.Act{Do: keep.ToListen, Switch: h.Changes})
	if err != nil {
		return err
	}
	for _, c := range h.Changes {
		if !readBack(got.Status, c) {
			return errors.Join(fmt.Errorf("%w: %s; nothing more is played", ErrNotHeld, c.Output), got.Err())
		}
	}
	return nil
}

// releaseFor is how long a release waits for devices.
const releaseFor = 30 * time.Second

// Release puts back what was switched, also where the context has ended. What a device
// does not take now the keeper puts back once it answers; that is the error.
func (h *Hold) Release(ctx context.Context) error {
	if len(h.Changes) == 0 {
		return nil
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), releaseFor)
	defer cancel()
	got, err := h.room.Act(ctx, keep.Act{Do: keep.Listened})
	if err != nil {
		return err
	}
	at := slices.IndexFunc(got.Status.Problems, func(p keep.Problem) bool { return p.Code == "listening" })
	if at >= 0 {
		return fmt.Errorf("%w: %s", keep.ErrNoAnswer, got.Status.Problems[at].Message)
	}
	return nil
}
