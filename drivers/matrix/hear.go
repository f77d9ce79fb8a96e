package matrix

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"time"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

// question is what an answer is awaited for.
type question struct {
	role   device.Role
	packet int
	// numbered is true where the answer repeats the packet number.
	numbered bool
	// output is the one that was asked about; 0 for none in particular.
	output int
	// saying is what was sent with it.
	saying message.Says
	// silent is true where nothing comes back but the echo.
	silent bool
	// echoes are the messages of the question itself that the device has still to
	// send back.
	echoes [][]byte
	// waits is true once the device has said that its answer will take long.
	waits bool
	// ends is true where another message closes the answer; gathered is what came
	// before it, wrong what of that cannot be.
	ends bool
	// whole is true where one message has all of the answer, so that one comes before
	// the end; begun once one came.
	whole, begun bool
	gathered     message.Says
	wrong        error
	// odd is the last message that was none of those awaited.
	odd []byte
}

// verdict is what a message is to whoever hears it.
type verdict uint8

const (
	// goOn: it is not what is awaited.
	goOn verdict = iota
	// goOnLong: it says that what is awaited will take long.
	goOnLong
	// heard: it is what is awaited.
	heard
)

// judge says what a message is, and what it says.
type judge func(received []byte) (message.Says, verdict, error)

// await hears messages until the answer comes. Time runs from the last byte of
// a message under way, since a long answer takes long on a slow line.
func (t *conversation) await(ctx context.Context, q question) (message.Says, error) {
	says, err := t.hear(ctx, func(received []byte) (message.Says, verdict, error) {
		return t.answers(&q, received)
	})
	t.doubts = t.doubts || q.odd != nil
	switch {
	case err == nil || errors.Is(err, ErrRefused):
	case errors.Is(err, message.ErrValue):
		t.doubts = true
		// What made no sense may have been a stray, and the answer yet to come.
		t.owed[q.role] = true
	default:
		t.doubts = true
		t.owed[q.role] = true
		if errors.Is(err, ErrNoAnswer) && q.odd != nil {
			err = fmt.Errorf("%w: it said %q", err, q.odd)
		}
		if q.waits {
			t.cancel(q.packet)
		}
	}
	return says, err
}

// hear passes messages to a judge until it has what it wants, for as long as
// the timeout says, or the longest time once the device asked for patience.
func (t *conversation) hear(ctx context.Context, judge judge) (message.Says, error) {
	return t.hearFor(ctx, t.timeout(), judge)
}

func (t *conversation) hearFor(ctx context.Context, wait time.Duration, judge judge) (message.Says, error) {
	none := fmt.Errorf("%w within %v", ErrNoAnswer, wait)
	last := t.clock.Now().Add(longest * t.timeout())
	over, stop := t.clock.Timer(wait)
	extended := false
	defer func() { stop() }()
	for {
		select {
		case c := <-t.incoming:
			before := t.framer.Pending()
			received := t.take(c)
			long := false
			for i, p := range received {
				says, verdict, err := judge(p)
				if verdict == heard {
					for _, after := range received[i+1:] {
						t.unasked(after)
					}
					return says, err
				}
				long = long || verdict == goOnLong
			}
			if t.gone != nil {
				return message.Says{}, t.gone
			}
			switch {
			case long && !extended:
				extended = true
				stop()
				over, stop = t.clock.Timer(last.Sub(t.clock.Now()))
				none = fmt.Errorf("%w within %v, after it asked to wait", ErrNoAnswer, longest*t.timeout())
			case !extended && t.framer.Pending() != before && t.clock.Now().Before(last):
				stop()
				over, stop = t.clock.Timer(wait)
			}
		case <-over:
			return message.Says{}, none
		case <-ctx.Done():
			return message.Says{}, context.Cause(ctx)
		case <-t.closing:
			return message.Says{}, errClosed
		}
	}
}

// answers judges a message: whether it is the answer, and what it says. A
// message with the packet number of an earlier question is none of ours.
func (t *conversation) answers(q *question, received []byte) (message.Says, verdict, error) {
	if len(q.echoes) > 0 {
		rest, echo := t.codec.WithoutEcho(received, q.echoes[0])
		if echo {
			q.echoes = q.echoes[1:]
		}
		switch {
		case echo && q.silent && len(q.echoes) == 0:
			return message.Says{}, heard, nil
		case echo && len(rest) == 0:
			return message.Says{}, goOn, nil
		case echo:
			received = rest
		}
	}
	says, meaning, err := t.codec.Judge(q.role, q.output, received)
	if meaning == message.MeaningUnknown || q.strange(t.codec, says, meaning, err) {
		if !t.unasked(received) {
			q.odd = received
		}
		return message.Says{}, goOn, nil
	}
	verdict := q.fresh(says, verdicts[meaning])
	if verdict != goOn && err == nil {
		t.recordHeard(q, received, meaning, says)
	}
	return t.judged(q, says, meaning, verdict, err)
}

// verdicts are what the answers are to whoever waits.
var verdicts = map[message.Meaning]verdict{
	message.Busy: heard, message.Wait: goOnLong, message.Cancelled: heard, message.Refusal: heard,
	message.Answer: heard, message.End: heard,
}

// judged is the verdict on one of the answers that are described. What comes before
// the end of an answer of several messages is gathered.
func (t *conversation) judged(q *question, says message.Says, meaning message.Meaning, v verdict, err error) (message.Says, verdict, error) {
	switch meaning {
	case message.Busy:
		return says, v, withReason(ErrBusy, says)
	case message.Cancelled:
		return says, v, withReason(errGaveUp, says)
	case message.Refusal:
		return says, v, withReason(ErrRefused, says)
	case message.Wait:
		q.waits = q.waits || v == goOnLong
		return says, v, nil
	case message.End:
		if v == heard && q.whole && !q.begun {
			return says, v, fmt.Errorf("%w: only the end of its answer came", ErrNoAnswer)
		}
		if v == heard {
			says = q.gathered
		}
		return says, v, q.wrong
	case message.Answer, message.MeaningUnknown:
	}
	if !q.ends || v != heard {
		return says, v, err
	}
	q.gather(says, err)
	return says, goOn, nil
}

// gather keeps one message of an answer until its end comes.
func (q *question) gather(says message.Says, err error) {
	q.begun, q.wrong = true, cmp.Or(q.wrong, err)
	says.Crosspoints = append(q.gathered.Crosspoints, says.Crosspoints...)
	says.Unclear = append(q.gathered.Unclear, says.Unclear...)
	q.gathered = says
}

// fresh is the verdict on a message, unless it answers an earlier question.
func (q *question) fresh(says message.Says, v verdict) verdict {
	if q.numbered && says.Packet != q.packet {
		return goOn
	}
	return v
}

// strange says whether an answer of this question's number is about something else
// than what was sent.
func (q *question) strange(c *message.Codec, says message.Says, meaning message.Meaning, err error) bool {
	return meaning == message.Answer && err == nil && q.fresh(says, heard) == heard && !c.Confirms(q.role, q.saying, says)
}

// withReason adds what the device said.
func withReason(err error, says message.Says) error {
	switch {
	case err == nil:
		return nil
	case says.Text != "" && says.Code != 0:
		return fmt.Errorf("%w: %d, %s", err, says.Code, says.Text)
	case says.Text != "":
		return fmt.Errorf("%w: %s", err, says.Text)
	case says.Code != 0:
		return fmt.Errorf("%w: error %d", err, says.Code)
	}
	return err
}
