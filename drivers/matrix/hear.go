package matrix

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

// question is what an answer is awaited for.
type question struct {
	role   device.Role
	packet int
	sent   []byte
	// numbered is true where the answer repeats the packet number.
	numbered bool
	// silent is true where nothing comes back but the echo.
	silent bool
	// echoed is true once the device has sent the question itself back.
	echoed bool
	// odd is the last message that was none of those awaited.
	odd []byte
}

// await hears messages until the answer comes. Time runs from the last byte of
// a message under way, since a long answer takes long on a slow line.
func (m *Matrix) await(ctx context.Context, q question) (message.Says, error) {
	says, err := m.hear(ctx, func(received []byte) (message.Says, bool, error) {
		return m.answers(&q, received)
	})
	if err != nil && !errors.Is(err, ErrRefused) && !errors.Is(err, message.ErrValue) {
		m.owed[q.role] = true
		if errors.Is(err, ErrNoAnswer) && q.odd != nil {
			err = fmt.Errorf("%w: it said %q", err, q.odd)
		}
	}
	return says, err
}

// hear passes messages to a judge until it has what it wants, for as long as
// the timeout says.
func (m *Matrix) hear(ctx context.Context, judge func([]byte) (message.Says, bool, error)) (message.Says, error) {
	none := fmt.Errorf("%w within %v", ErrNoAnswer, m.timeout())
	last := m.clock.Now().Add(longest * m.timeout())
	over, stop := m.clock.Timer(m.timeout())
	defer func() { stop() }()
	for {
		select {
		case c := <-m.incoming:
			before := m.framer.Pending()
			received := m.take(c)
			for i, p := range received {
				if says, done, err := judge(p); done {
					for _, after := range received[i+1:] {
						m.unasked(after)
					}
					return says, err
				}
			}
			if m.gone != nil {
				return message.Says{}, m.gone
			}
			if m.framer.Pending() != before && m.clock.Now().Before(last) {
				stop()
				over, stop = m.clock.Timer(m.timeout())
			}
		case <-over:
			return message.Says{}, none
		case <-ctx.Done():
			return message.Says{}, context.Cause(ctx)
		case <-m.closing:
			return message.Says{}, errClosed
		}
	}
}

// answers judges a message: whether it is the answer, and what it says.
func (m *Matrix) answers(q *question, received []byte) (says message.Says, done bool, err error) {
	if m.device.Echo && !q.echoed && bytes.Equal(received, q.sent) {
		q.echoed = true
		return says, q.silent, nil
	}
	says, err = m.codec.Answer(q.role, received)
	if err == nil || errors.Is(err, message.ErrValue) {
		stale := q.numbered && says.Packet != q.packet
		return says, !stale, err
	}
	if says, err := m.codec.Refusal(q.role, received); err == nil {
		stale := q.numbered && says.Packet != q.packet
		return says, !stale, refused(says)
	}
	if !m.unasked(received) {
		q.odd = received
	}
	return message.Says{}, false, nil
}

func refused(says message.Says) error {
	switch {
	case says.Text != "" && says.Code != 0:
		return fmt.Errorf("%w: %d, %s", ErrRefused, says.Code, says.Text)
	case says.Text != "":
		return fmt.Errorf("%w: %s", ErrRefused, says.Text)
	case says.Code != 0:
		return fmt.Errorf("%w: error %d", ErrRefused, says.Code)
	}
	return ErrRefused
}
