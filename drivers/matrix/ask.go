package matrix

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

// Usual pacing where the description does not say.
const usualTimeout = time.Second

// longest is how many timeouts one answer may take while its bytes keep coming.
const longest = 20

func (m *Matrix) timeout() time.Duration {
	if t := milliseconds(m.device.Pacing.Timeout); t > 0 {
		return t
	}
	return usualTimeout
}

func milliseconds(n int) time.Duration { return time.Duration(n) * time.Millisecond }

// repeatable says which questions can be asked twice without harm: those that
// leave the device as it was. Asking for an error takes it out of the queue.
func repeatable(role device.Role) bool {
	switch role {
	case device.Identify, device.Read, device.ReadOutput, device.ReadRow, device.Settle, device.Mute, device.Unmute, device.LabelOutput, device.LabelInput:
		return true
	case device.Close, device.Open, device.Set, device.Off, device.Errors, device.Report, device.Notice, device.Cancel, device.RecallPreset, device.RoleUnknown:
	}
	return false
}

// errStep is a line that could not be brought in step: the question itself was
// not sent, and can be.
var errStep = errors.New("an earlier answer may still come")

// errGaveUp is a device that began and gave up: it may have done a part.
var errGaveUp = fmt.Errorf("%w: it gave up half way", ErrRefused)

// ask sends the message of a role and waits for its answer, if it has one. A
// busy device is asked again, also for a change: it says that it did nothing.
func (m *Matrix) ask(ctx context.Context, role device.Role, crosspoints []message.Crosspoint) (message.Says, error) {
	return m.askSaying(ctx, role, message.Says{Crosspoints: crosspoints})
}

// askSaying is ask for a message that says more than crosspoints.
func (m *Matrix) askSaying(ctx context.Context, role device.Role, saying message.Says) (message.Says, error) {
	until := m.clock.Now().Add(longest * m.timeout())
	for {
		says, err := m.askUntilAnswered(ctx, role, saying)
		if !errors.Is(err, ErrBusy) || m.clock.Now().After(until) {
			return says, err
		}
		if err := m.pause(ctx, m.timeout()/4); err != nil {
			return message.Says{}, err
		}
	}
}

// cancel tells the device, where it can be told, that its answer is no longer
// waited for. There is no answer to it, and no harm if it does not arrive.
func (m *Matrix) cancel(packet int) {
	sent, err := m.codec.Send(device.Cancel, message.Says{Packet: packet})
	if err != nil || m.gone != nil {
		return
	}
	if m.link.SetWriteDeadline(m.clock.Now().Add(m.timeout())) == nil {
		_, _ = m.link.Write(sent) // the answer is owed, with or without it
		m.went(len(sent))
	}
}

// askUntilAnswered asks again where that is allowed and may help.
func (m *Matrix) askUntilAnswered(ctx context.Context, role device.Role, saying message.Says) (message.Says, error) {
	tries := 1
	if repeatable(role) {
		tries += m.device.Pacing.Retries
	}
	says, err := m.askOnce(ctx, role, saying)
	if errors.Is(err, errStep) && tries == 1 {
		says, err = m.askOnce(ctx, role, saying)
	}
	for asked := 1; asked < tries && again(err); asked++ {
		says, err = m.askOnce(ctx, role, saying)
	}
	if again(err) && tries > 1 {
		err = fmt.Errorf("asked %d times: %w", tries, err)
	}
	return says, err
}

// again says whether asking once more may help.
func again(err error) bool {
	return errors.Is(err, ErrNoAnswer) || errors.Is(err, message.ErrValue)
}

func (m *Matrix) askOnce(ctx context.Context, role device.Role, saying message.Says) (message.Says, error) {
	if err := m.inStep(ctx); err != nil {
		return message.Says{}, err
	}
	if role == device.Read {
		m.odd = nil // what came before the question is no part of its answer
	}
	m.packet = (m.packet + 1) % (message.MaxPacket + 1)
	saying.Packet = m.packet
	sent, err := m.sendParts(ctx, role, saying)
	if err != nil {
		return message.Says{}, err
	}
	m.recordSent(role, sent, saying.Crosspoints)
	e, _ := m.device.Exchange(role)
	q := question{output: about(role, saying.Crosspoints), role: role, packet: m.packet, numbered: m.codec.Numbered(role)}
	q.silent = len(e.Answer) == 0 && len(e.Refusal) == 0 && len(e.End) == 0
	q.ends, q.whole = len(e.End) > 0, message.Repeats(e.Answer)
	if q.silent && !m.device.Echo {
		return message.Says{}, nil
	}
	if m.device.Echo {
		q.echoes = m.codec.Echoes(sent)
	}
	return m.await(ctx, q)
}

// about is the output that a question is about; 0 for none in particular.
func about(role device.Role, crosspoints []message.Crosspoint) int {
	if role != device.ReadOutput && role != device.ReadRow {
		return 0
	}
	return crosspoints[0].Output
}

// send writes one message, not sooner after the last one than the device can
// take it.
func (m *Matrix) send(ctx context.Context, p []byte) error {
	if m.gone != nil {
		return m.gone
	}
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	if err := m.pause(ctx, m.rest()); err != nil {
		return err
	}
	if err := m.link.SetWriteDeadline(m.clock.Now().Add(m.timeout())); err != nil {
		return err
	}
	n, err := m.link.Write(p)
	m.went(n)
	switch {
	case errors.Is(err, os.ErrDeadlineExceeded):
		// Half a message may be out; the device will not know what it was.
		m.owed[device.RoleUnknown] = true
		return fmt.Errorf("%w: it takes no bytes", ErrNoAnswer)
	case errors.Is(err, ErrGone):
		m.gone = err
	}
	return err
}

// bitsPerByte are those of a serial line: a start bit, eight of data, a stop bit.
const bitsPerByte = 10

// went notes that so many bytes were handed to the link.
func (m *Matrix) went(bytes int) {
	if now := m.clock.Now(); m.lastOut.Before(now) {
		m.lastOut = now
	}
	if m.baud > 0 {
		m.lastOut = m.lastOut.Add(time.Duration(bytes) * bitsPerByte * time.Second / time.Duration(m.baud))
	}
}

// rest is how long the device is to be let be before the next message.
func (m *Matrix) rest() time.Duration {
	gap := milliseconds(m.device.Pacing.Gap)
	if gap == 0 {
		return 0
	}
	return m.lastOut.Add(gap).Sub(m.clock.Now())
}

// pause waits, hearing what comes meanwhile.
func (m *Matrix) pause(ctx context.Context, d time.Duration) error {
	if d <= 0 {
		return nil
	}
	over, stop := m.clock.Timer(d)
	defer stop()
	for {
		select {
		case <-over:
			return nil
		case c := <-m.incoming:
			for _, received := range m.take(c) {
				m.unasked(received)
			}
			if m.gone != nil {
				return m.gone
			}
		case <-ctx.Done():
			return context.Cause(ctx)
		case <-m.closing:
			return errClosed
		}
	}
}
