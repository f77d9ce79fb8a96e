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
func (m *Matrix) inStep(ctx context.Context) error {
	if m.gone != nil {
		return m.gone
	}
	if err := m.begin(ctx); err != nil {
		return err
	}
	m.drain()
	if m.outOfStep() {
		if err := m.bringInStep(ctx); err != nil {
			return err
		}
		m.odd = nil // it was said before the place that both ends agree on
	}
	if m.gone != nil {
		return m.gone
	}
	// A byte of noise before an answer would spoil it.
	m.doubts = m.doubts || m.framer.Pending() > 0
	m.framer.Reset()
	m.fresh = false
	clear(m.owed)
	return nil
}

// outOfStep says whether an answer may come that nobody can tell from the next.
func (m *Matrix) outOfStep() bool {
	for role := range m.owed {
		if !m.codec.Numbered(role) {
			return true
		}
	}
	return m.fresh && m.marks()
}

// marks says whether the device has a question whose answer marks a place in
// the stream: a device answers in order, so all that comes before it is old.
func (m *Matrix) marks() bool { return m.marked }

// unmistakable says whether the answer to settle marks a place: it must be such
// that no reading of the device can be taken for it. To a matrix of one input,
// 1 may be both.
func unmistakable(c *message.Codec, d *device.Description) bool {
	e, ok := d.Exchange(device.Settle)
	if !ok || len(e.Answer) == 0 {
		return false
	}
	var answer []byte
	for _, f := range e.Answer {
		if f.Kind != device.Literal {
			return true
		}
		answer = append(answer, f.Bytes...)
	}
	for _, role := range []device.Role{device.Read, device.ReadRow, device.ReadOutput} {
		if _, err := c.AnswerAbout(role, 1, answer); err == nil {
			return false
		}
	}
	return true
}

// bringInStep asks for the mark, or waits for silence. A mark that gets no
// answer is errStep, and silence has passed by then.
func (m *Matrix) bringInStep(ctx context.Context) error {
	if !m.marks() || m.owed[device.Settle] || m.owed[device.RoleUnknown] {
		return m.silence(ctx)
	}
	err := m.mark(ctx)
	if !errors.Is(err, ErrNoAnswer) {
		return err
	}
	if silenceErr := m.silence(ctx); silenceErr != nil {
		return silenceErr
	}
	m.fresh = false
	clear(m.owed)
	return fmt.Errorf("%w: %w", errStep, err)
}

// mark asks the question that marks a place, and throws away what comes before
// its answer.
func (m *Matrix) mark(ctx context.Context) error {
	sent, err := m.sendParts(ctx, device.Settle, message.Says{})
	if err != nil {
		return err
	}
	_, err = m.hear(ctx, func(received []byte) (message.Says, verdict, error) {
		if m.device.Echo {
			switch rest, echo := m.codec.WithoutEcho(received, sent); {
			case echo && len(rest) == 0:
				return message.Says{}, goOn, nil
			case echo:
				received = rest
			}
		}
		says, err := m.codec.Answer(device.Settle, received)
		if err != nil {
			m.unasked(received)
			return says, goOn, nil
		}
		return says, heard, nil
	})
	if err != nil {
		m.doubts, m.owed[device.Settle] = true, true
	}
	return err
}

// quiet is how many timeouts the line must be silent before an answer is taken
// for lost.
const quiet = 3

// silence waits until nothing has come for longer than an answer may take.
func (m *Matrix) silence(ctx context.Context) error {
	for range longest {
		_, err := m.hearFor(ctx, quiet*m.timeout(), func(received []byte) (message.Says, verdict, error) {
			m.unasked(received)
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
