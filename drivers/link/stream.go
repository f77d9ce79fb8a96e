package link

import (
	"sync/atomic"
	"time"
)

// end is one direction of a stream: a connection or a file that Go's poller
// owns, so that deadlines work and Close ends what waits.
type end interface {
	Read([]byte) (int, error)
	Write([]byte) (int, error)
	SetReadDeadline(time.Time) error
	SetWriteDeadline(time.Time) error
	Close() error
}

// stream is a link whose ends are the poller's.
type stream struct {
	address string
	in, out end
	// baud is the rate of the line; 0 for a stream that is none.
	baud int
	// after, if there is one, tidies up once both ends are closed.
	after  func() error
	closed atomic.Bool
}

// Baud is the rate of the line; 0 where there is none.
func (s *stream) Baud() int { return s.baud }

func (s *stream) Read(p []byte) (int, error) {
	n, err := s.in.Read(p)
	if n > 0 {
		return n, nil
	}
	return 0, ended(s.address, err, s.closed.Load())
}

func (s *stream) Write(p []byte) (int, error) {
	n, err := s.out.Write(p)
	return n, ended(s.address, err, s.closed.Load())
}

func (s *stream) SetReadDeadline(t time.Time) error  { return s.in.SetReadDeadline(t) }
func (s *stream) SetWriteDeadline(t time.Time) error { return s.out.SetWriteDeadline(t) }
func (s *stream) String() string                     { return s.address }

// Close ends both directions; calling it again does nothing.
func (s *stream) Close() error {
	if s.closed.Swap(true) {
		return nil
	}
	err := s.in.Close()
	if s.out != s.in {
		if outErr := s.out.Close(); err == nil {
			err = outErr
		}
	}
	if s.after != nil {
		if afterErr := s.after(); err == nil {
			err = afterErr
		}
	}
	return err
}
