package line

import (
	"context"
	"errors"
	"io"
	"sync"
	"time"

	"bayhand/simulators/matrix"
)

var (
	// errLeft ends a conversation whose other end went away.
	errLeft = errors.New("the other end went away")
	// errRestarted ends a conversation that the device's restart cut off.
	errRestarted = errors.New("the device restarted")
)

// chunk is how many bytes are taken at once.
const chunk = 4096

// converse serves one stream until ctx ends, the other end goes or the device
// restarts where that hangs up; it closes the stream. The error says which.
func (s *server) converse(ctx context.Context, stream io.ReadWriteCloser) error {
	ctx, cancel := context.WithCancel(ctx)
	var others sync.WaitGroup
	chunks := make(chan []byte)
	others.Go(func() { read(ctx, stream, chunks) })
	// Closing the stream ends a read or a write that is under way.
	others.Go(func() { <-ctx.Done(); stream.Close() })
	changed, unwatch := s.matrix.Watch()
	defer func() {
		unwatch()
		cancel()
		others.Wait()
		s.player.Clear()
	}()
	s.seen = s.matrix.Last() // what was turned before nobody was told of
	for {
		var err error
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-changed:
			err = s.report(ctx, stream)
		case bytes, open := <-chunks:
			if !open {
				return errLeft
			}
			err = s.take(ctx, stream, bytes)
		}
		if err != nil {
			return err
		}
	}
}

// read passes on what arrives until the stream ends or ctx does.
func read(ctx context.Context, stream io.Reader, chunks chan<- []byte) {
	defer close(chunks)
	buffer := make([]byte, chunk)
	for {
		n, err := stream.Read(buffer)
		if n > 0 {
			select {
			case chunks <- append([]byte(nil), buffer[:n]...):
			case <-ctx.Done():
				return
			}
		}
		if err != nil {
			return
		}
	}
}

// take gives received bytes to the device, one at a time so that a restart
// falls between two messages, and sends its answers.
func (s *server) take(ctx context.Context, stream io.Writer, bytes []byte) error {
	s.traffic(Traffic{Received: true, Bytes: bytes})
	for i := range bytes {
		if s.dead() {
			s.log.Debug("silent after its last byte", "ignored", len(bytes)-i)
			return nil
		}
		s.received++
		answers := s.player.Receive(bytes[i : i+1])
		if s.restarts() {
			s.log.Debug("restarted", "message", s.faults.Reboot)
			s.restarted = true
			s.player.Restart()
			if s.hangsUp {
				return errRestarted
			}
			return nil
		}
		for _, answer := range answers {
			if err := s.answer(ctx, stream, answer); err != nil {
				return err
			}
		}
	}
	return nil
}

func (s *server) dead() bool { return s.faults.Dead > 0 && s.received >= s.faults.Dead }

func (s *server) restarts() bool {
	return s.faults.Reboot > 0 && !s.restarted && s.player.Messages() >= s.faults.Reboot
}

// report sends what the device says by itself about turns of its front.
func (s *server) report(ctx context.Context, stream io.Writer) error {
	events := s.matrix.History(s.seen)
	if len(events) == 0 {
		return nil
	}
	s.seen = events[len(events)-1].Number
	var turned []matrix.Event
	for _, e := range events {
		if e.By == matrix.Front {
			turned = append(turned, e)
		}
	}
	if len(turned) == 0 || s.dead() {
		return nil
	}
	for _, report := range s.player.Report(turned) {
		if err := s.answer(ctx, stream, report); err != nil {
			return err
		}
	}
	return nil
}

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
	s.traffic(Traffic{Bytes: answer[:n]})
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
