package line

import (
	"context"
	"errors"
	"io"
	"sync"

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
	if g, ok := s.player.(interface{ Greet() [][]byte }); ok {
		for _, said := range g.Greet() {
			if err := s.write(stream, said); err != nil {
				return err
			}
		}
	}
	for {
		var err error
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-changed:
			err = s.report(ctx, stream)
		case bytes, open := <-chunks:
			if err = errLeft; open {
				err = s.take(ctx, stream, bytes)
			}
		}
		if ctx.Err() != nil { // closing the stream for it looks like an end that left
			return ctx.Err()
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
	s.passed(Traffic{Received: true, Bytes: bytes})
	echoed := 0 // how many of the bytes went back
	for i := range bytes {
		if s.dead() {
			s.log.Debug("silent after its last byte", "ignored", len(bytes)-i)
			return s.sendBack(stream, bytes[echoed:i])
		}
		s.received++
		answers := s.player.Receive(bytes[i : i+1])
		if s.restarts() {
			answers = nil
			if err := s.restart(); err != nil {
				return err
			}
		}
		if len(answers) == 0 {
			continue
		}
		if err := s.sendBack(stream, bytes[echoed:i+1]); err != nil {
			return err
		}
		echoed = i + 1
		for _, answer := range answers {
			if err := s.answer(ctx, stream, answer); err != nil {
				return err
			}
		}
	}
	return s.sendBack(stream, bytes[echoed:])
}

// sendBack is what a device that echoes does with what it received, before it
// answers.
func (s *server) sendBack(stream io.Writer, bytes []byte) error {
	if !s.echo || len(bytes) == 0 {
		return nil
	}
	return s.write(stream, bytes)
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
