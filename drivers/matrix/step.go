package matrix

import (
	"context"
	"errors"
	"fmt"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

// inStep sees to it that no answer of an earlier question can still come that
// might be taken for the next one's.
//
// An answer that has not come in four times the timeout is taken for lost: once
// it was waited for, and three times the line was silent.
func (t *conversation) inStep(ctx context.Context) error {
	if t.gone != nil {
		return t.gone
	}
	if err := t.begin(ctx); err != nil {
		return err
	}
	t.drain()
	if t.outOfStep() {
		if err := t.bringInStep(ctx); err != nil {
			return err
		}
		t.odd = nil // it was said before the place that both ends agree on
	}
	if t.gone != nil {
		return t.gone
	}
	// A byte of noise before an answer would spoil it.
	t.doubts = t.doubts || t.framer.Pending() > 0
	t.framer.Reset()
	t.fresh = false
	clear(t.owed)
	return nil
}

// outOfStep says whether an answer may come that nobody can tell from the next.
func (t *conversation) outOfStep() bool {
	for role := range t.owed {
		if !t.codec.Numbered(role) {
			return true
		}
	}
	return t.fresh && t.marks()
}

// marks says whether the device has a question whose answer marks a place in
// the stream: a device answers in order, so all that comes before it is old.
func (t *conversation) marks() bool { return t.marked }

// unmistakable says whether the answer to settle marks a place: neither may a reading
// of the device be taken for it, nor it for a reading. To a matrix of one input,
// 1 may be both.
func unmistakable(c *message.Codec, d *device.Description) bool {
	e, ok := d.Exchange(device.Settle)
	if !ok || len(e.Answer) == 0 {
		return false
	}
	for _, role := range []device.Role{device.Read, device.ReadRow, device.ReadOutput} {
		if _, reads := d.Exchange(role); reads && c.Alike(device.Settle, role) {
			return false
		}
	}
	return true
}

// bringInStep asks for the mark, or waits for silence. A mark that gets no
// answer is errStep, and silence has passed by then.
func (t *conversation) bringInStep(ctx context.Context) error {
	if !t.marks() || t.owed[device.Settle] || t.owed[device.RoleUnknown] {
		return t.silence(ctx)
	}
	err := t.mark(ctx)
	if !errors.Is(err, ErrNoAnswer) {
		return err
	}
	if silenceErr := t.silence(ctx); silenceErr != nil {
		return silenceErr
	}
	t.fresh = false
	clear(t.owed)
	return fmt.Errorf("%w: %w", errStep, err)
}

// mark asks the question that marks a place, and throws away what comes before
// its answer.
func (t *conversation) mark(ctx context.Context) error {
	sent, err := t.sendParts(ctx, device.Settle, message.Says{})
	if err != nil {
		return err
	}
	_, err = t.hear(ctx, func(received []byte) (message.Says, verdict, error) {
		if t.device.Echo {
			switch rest, echo := t.codec.WithoutEcho(received, sent); {
			case echo && len(rest) == 0:
				return message.Says{}, goOn, nil
			case echo:
				received = rest
			}
		}
		says, err := t.codec.Answer(device.Settle, received)
		if err != nil {
			t.unasked(received)
			return says, goOn, nil
		}
		return says, heard, nil
	})
	if err != nil {
		t.doubts, t.owed[device.Settle] = true, true
	}
	return err
}

// quiet is how many timeouts the line must be silent before an answer is taken
// for lost.
const quiet = 3

// silence waits until nothing has come for longer than an answer may take.
func (t *conversation) silence(ctx context.Context) error {
	for range longest {
		_, err := t.hearFor(ctx, quiet*t.timeout(), func(received []byte) (message.Says, verdict, error) {
			t.unasked(received)
			return message.Says{}, heard, nil
		})
		if errors.Is(err, ErrNoAnswer) {
			return nil
		}
		if err != nil {
			return err
		}
	}
	return fmt.Errorf("%w: it never falls silent", ErrNoAnswer)
}
