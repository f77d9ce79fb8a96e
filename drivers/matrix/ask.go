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

func (t *conversation) timeout() time.Duration {
	if t := milliseconds(t.device.Pacing.Timeout); t > 0 {
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
func (t *conversation) ask(ctx context.Context, role device.Role, crosspoints []message.Crosspoint) (message.Says, error) {
	return t.askSaying(ctx, role, message.Says{Crosspoints: crosspoints})
}

// askSaying is ask for a message that says more than crosspoints.
func (t *conversation) askSaying(ctx context.Context, role device.Role, saying message.Says) (message.Says, error) {
	until := t.clock.Now().Add(longest * t.timeout())
	for {
		says, err := t.askUntilAnswered(ctx, role, saying)
		if !errors.Is(err, ErrBusy) || t.clock.Now().After(until) {
			return says, err
		}
		if err := t.pause(ctx, t.timeout()/4); err != nil {
			return message.Says{}, err
		}
	}
}

// cancel tells the device, where it can be told, that its answer is no longer
// waited for. There is no answer to it, and no harm if it does not arrive.
func (t *conversation) cancel(packet int) {
	sent, err := t.codec.Send(device.Cancel, message.Says{Packet: packet})
	if err != nil || t.gone != nil {
		return
	}
	if t.link.SetWriteDeadline(t.clock.Now().Add(t.timeout())) == nil {
		_, _ = t.link.Write(sent) // the answer is owed, with or without it
		t.went(len(sent))
	}
}

// askUntilAnswered asks again where that is allowed and may help.
func (t *conversation) askUntilAnswered(ctx context.Context, role device.Role, saying message.Says) (message.Says, error) {
	tries := 1
	if repeatable(role) {
		tries += t.device.Pacing.Retries
	}
	says, err := t.askOnce(ctx, role, saying)
	if errors.Is(err, errStep) && tries == 1 {
		says, err = t.askOnce(ctx, role, saying)
	}
	for asked := 1; asked < tries && again(err); asked++ {
		says, err = t.askOnce(ctx, role, saying)
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

func (t *conversation) askOnce(ctx context.Context, role device.Role, saying message.Says) (message.Says, error) {
	if err := t.inStep(ctx); err != nil {
		return message.Says{}, err
	}
	if role == device.Read {
		t.odd = nil // what came before the question is no part of its answer
	}
	t.packet = (t.packet + 1) % (message.MaxPacket + 1)
	saying.Packet = t.packet
	sent, err := t.sendParts(ctx, role, saying)
	if err != nil {
		return message.Says{}, err
	}
	t.recordSent(role, sent, saying.Crosspoints)
	e, _ := t.device.Exchange(role)
	q := question{output: about(role, saying.Crosspoints), role: role, saying: saying, packet: t.packet, numbered: t.codec.Numbered(role)}
	q.silent = len(e.Answer) == 0 && len(e.Refusal) == 0 && len(e.End) == 0
	q.ends, q.whole = len(e.End) > 0, message.Repeats(e.Answer)
	if q.silent && !t.device.Echo {
		return message.Says{}, nil
	}
	if t.device.Echo {
		q.echoes = t.codec.Echoes(sent)
	}
	return t.await(ctx, q)
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
func (t *conversation) send(ctx context.Context, p []byte) error {
	if t.gone != nil {
		return t.gone
	}
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	if err := t.pause(ctx, t.rest()); err != nil {
		return err
	}
	if err := t.link.SetWriteDeadline(t.clock.Now().Add(t.timeout())); err != nil {
		return err
	}
	n, err := t.link.Write(p)
	t.went(n)
	switch {
	case errors.Is(err, os.ErrDeadlineExceeded):
		// Half a message may be out; the device will not know what it was.
		t.owed[device.RoleUnknown] = true
		return fmt.Errorf("%w: it takes no bytes", ErrNoAnswer)
	case errors.Is(err, ErrGone):
		t.gone = err
	}
	return err
}

// bitsPerByte are those of a serial line: a start bit, eight of data, a stop bit.
const bitsPerByte = 10

// went notes that so many bytes were handed to the link.
func (t *conversation) went(bytes int) {
	if now := t.clock.Now(); t.lastOut.Before(now) {
		t.lastOut = now
	}
	if t.baud > 0 {
		t.lastOut = t.lastOut.Add(time.Duration(bytes) * bitsPerByte * time.Second / time.Duration(t.baud))
	}
}

// rest is how long the device is to be let be before the next message.
func (t *conversation) rest() time.Duration {
	gap := milliseconds(t.device.Pacing.Gap)
	if gap == 0 {
		return 0
	}
	return t.lastOut.Add(gap).Sub(t.clock.Now())
}

// pause waits, hearing what comes meanwhile.
func (t *conversation) pause(ctx context.Context, d time.Duration) error {
	if d <= 0 {
		return nil
	}
	over, stop := t.clock.Timer(d)
	defer stop()
	for {
		select {
		case <-over:
			return nil
		case c := <-t.incoming:
			for _, received := range t.take(c) {
				t.unasked(received)
			}
			if t.gone != nil {
				return t.gone
			}
		case <-ctx.Done():
			return context.Cause(ctx)
		case <-t.closing:
			return errClosed
		}
	}
}
