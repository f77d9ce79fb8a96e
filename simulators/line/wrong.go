package line

import (
	"context"
	"errors"
	"io"
	"time"
)

// answer sends one answer, or does with it what the faults ask.
func (s *server) answer(ctx context.Context, stream io.Writer, answer []byte) error {
	s.answers++
	if s.faults.Delay > 0 {
		select {
		case <-s.after(s.faults.Delay):
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	if every(s.faults.Lose, s.answers) {
		s.log.Debug("lost an answer", "number", s.answers)
		return nil
	}
	if every(s.faults.Garble, s.answers) {
		s.log.Debug("spoilt an answer", "number", s.answers)
		answer = garbled(answer)
	}
	return s.write(stream, answer)
}

func every(n, count int) bool { return n > 0 && count%n == 0 }

// garbled spoils every second byte, in a way that can't be taken for another
// answer. The last byte stays, so that the end of the message is still found.
func garbled(answer []byte) []byte {
	spoilt := append([]byte(nil), answer...)
	from := min(1, max(0, len(spoilt)-2))
	for i := from; i < len(spoilt)-1; i += 2 {
		spoilt[i] = '?'
	}
	return spoilt
}

// patience is how long the other end may leave an answer unread before it is
// lost, as on a serial line that nobody listens to.
const patience = time.Second

func (s *server) write(stream io.Writer, answer []byte) error {
	if d, ok := stream.(interface{ SetWriteDeadline(time.Time) error }); ok {
		if err := d.SetWriteDeadline(time.Now().Add(patience)); err != nil {
			return errLeft
		}
	}
	n, err := stream.Write(answer)
	s.passed(Traffic{Bytes: answer[:n]})
	switch {
	case err == nil:
		return nil
	case errors.Is(err, context.DeadlineExceeded) || isTimeout(err):
		s.log.Debug("nobody read an answer", "lost", len(answer)-n)
		return nil
	}
	return errLeft
}

func isTimeout(err error) bool {
	var t interface{ Timeout() bool }
	return errors.As(err, &t) && t.Timeout()
}

func (s *server) dead() bool { return s.faults.Dead > 0 && s.received >= s.faults.Dead }

func (s *server) restarts() bool {
	return s.faults.Reboot > 0 && !s.restarted && s.player.Messages() >= s.faults.Reboot
}

// restart loses everything, and on a network the connection too.
func (s *server) restart() error {
	s.log.Debug("restarted", "message", s.faults.Reboot)
	s.restarted = true
	s.player.Restart()
	if s.hangsUp {
		return errRestarted
	}
	return nil
}
