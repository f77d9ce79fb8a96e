package matrix

import (
	"context"
	"fmt"
	"strconv"
	"time"

	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/phrase"
)

// mostErrors is how many errors a device may hold; a queue that does not empty
// is none.
const mostErrors = 100

// change sends the messages, one after the other, and stops at the first that
// fails: what is to be opened first must be open.
func (m *Matrix) change(ctx context.Context, messages []changeMessage) error {
	// Errors from before are not about what we are going to send.
	if _, err := m.emptyErrors(ctx); err != nil {
		return err
	}
	return m.muted(ctx, func() error {
		if done, err := m.recallPreset(ctx, messages); done || err != nil {
			return err
		}
		for _, c := range messages {
			if err := m.changeOnce(ctx, c); err != nil {
				return fmt.Errorf("%s %s: %w", c.role, describe(c.crosspoints), err)
			}
		}
		return nil
	})
}

// muted makes changes while the device is mute, where it can be. However they end,
// also when they are called off, it is asked to be heard again; a device that does
// not confirm that may still be mute, which is an error.
func (m *Matrix) muted(ctx context.Context, changes func() error) error {
	if _, ok := m.talk.device.Exchange(device.Mute); !ok {
		return changes()
	}
	m.audible = false
	err := m.changeOnce(ctx, changeMessage{role: device.Mute})
	if err != nil {
		err = fmt.Errorf("%s: %w", device.Mute, err)
	} else {
		err = changes()
	}
	still := m.unmute(context.WithoutCancel(ctx))
	switch {
	case still == nil:
		return err
	case err == nil:
		return still
	}
	return fmt.Errorf("%w; then %w", err, still)
}

// unmute lets the device be heard, unless it is known to be.
func (m *Matrix) unmute(ctx context.Context) error {
	if m.audible {
		return nil
	}
	if err := m.changeOnce(ctx, changeMessage{role: device.Unmute}); err != nil {
		return fmt.Errorf("%s, so it may still be mute: %w", device.Unmute, err)
	}
	m.audible = true
	return nil
}

func (m *Matrix) changeOnce(ctx context.Context, c changeMessage) error {
	if _, err := m.talk.askSaying(ctx, c.role, message.Says{Crosspoints: c.crosspoints, Preset: c.preset}); err != nil {
		return err
	}
	if err := m.talk.pause(ctx, m.settling(c.role, len(c.crosspoints))); err != nil {
		return err
	}
	if m.talk.marks() {
		if _, err := m.talk.ask(ctx, device.Settle, nil); err != nil {
			return err
		}
	}
	refusal, err := m.emptyErrors(ctx)
	switch {
	case refusal == nil:
		return err
	case err == nil:
		return refusal
	}
	return fmt.Errorf("%w, then %w", refusal, err)
}

// settling is how long the crosspoints take to move. Where nothing tells that the
// message has arrived, it counts from when its last byte is on the line.
func (m *Matrix) settling(role device.Role, crosspoints int) time.Duration {
	settle := milliseconds(m.talk.device.Pacing.Settle + crosspoints*m.talk.device.Pacing.Each)
	if e, _ := m.talk.device.Exchange(role); len(e.Answer) > 0 || m.talk.marks() {
		return settle
	}
	return settle + max(0, m.talk.lastOut.Sub(m.talk.clock.Now()))
}

// emptyErrors asks for errors until there are none. The refusal, ErrRefused,
// is all of those that were there.
func (m *Matrix) emptyErrors(ctx context.Context) (refusal, err error) {
	if _, ok := m.talk.device.Exchange(device.Errors); !ok {
		return nil, nil
	}
	for range mostErrors {
		says, err := m.talk.ask(ctx, device.Errors, nil)
		switch {
		case err != nil:
			return refusal, err
		case says.Code == 0:
			return refusal, nil
		case refusal == nil:
			refusal = withReason(ErrRefused, says)
		default:
			refusal = fmt.Errorf("%w; %d, %s", refusal, says.Code, says.Text)
		}
	}
	return refusal, fmt.Errorf("%w: its errors never end", ErrNoAnswer)
}

// describe names the crosspoints of a message, the first ones of many.
func describe(crosspoints []message.Crosspoint) string {
	const most = 4
	text := ""
	for i, c := range crosspoints {
		if i == most {
			return phrase.Put("{crosspoints} and {n} more", "crosspoints", text, "n", strconv.Itoa(len(crosspoints)-most))
		}
		if i > 0 {
			text += ", "
		}
		text += fmt.Sprintf("out%d", c.Output)
		if c.Input > 0 {
			text += fmt.Sprintf(" in%d", c.Input)
		}
	}
	return text
}
