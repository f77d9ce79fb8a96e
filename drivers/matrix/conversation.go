package matrix

import (
	"fmt"
	"os"
	"sync"
	"time"

	"bayhand/drivers/link"
	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/studio"
)

// conversation is what goes to and fro on one link: one question at a time, its answer
// told from those of others, and what the device says by itself. It knows messages and
// pacing, and nothing of what is to be switched.
type conversation struct {
	device *device.Description
	studio studio.Matrix
	codec  *message.Codec
	link   link.Link
	clock  Clock
	record func(device.Turn) // may be nil
	// turned is called when the device says that somebody turned it.
	turned func()
	// marked is true where the device has a question whose answer marks a place in
	// the stream.
	marked bool

	calls    chan call
	incoming chan chunk
	reports  chan Report
	closing  chan struct{}
	once     sync.Once
	closeErr error
	// ended is closed when the owner has ended; readers counts the reader.
	ended   chan struct{}
	readers sync.WaitGroup

	// The owner's own.
	framer message.Framer
	gone   error
	packet int
	// owed are the questions whose answers may still come, fresh is true before
	// the first question on this link.
	owed  map[device.Role]bool
	fresh bool
	// begun is true once the opening was gone through on this link.
	begun bool
	// doubts is true from a sign of noise on until readings agreed in spite of it.
	doubts bool
	// odd is the last message that the description does not explain, since a reading
	// began; nil for none.
	odd []byte
	// lastOut is when the last byte of the last message is on the line: a link takes
	// them sooner. baud is the rate of the line; 0 where it has none.
	lastOut time.Time
	baud    int
}

// talk begins a conversation with the matrix m, in which nothing is said yet. turned is
// called by the owner of the link.
func talk(codec *message.Codec, d *device.Description, m studio.Matrix, l link.Link, clock Clock, turned func()) *conversation {
	t := &conversation{
		marked: unmistakable(codec, d), turned: turned,
		device: d, studio: m, codec: codec, link: l, clock: clock,
		calls: make(chan call), incoming: make(chan chunk), reports: make(chan Report, 1),
		closing: make(chan struct{}), ended: make(chan struct{}),
		framer: codec.Framer(), owed: map[device.Role]bool{}, fresh: true,
		// Numbers begin anywhere, so that an answer to whoever held the link
		// before is not taken for one of ours.
		packet: int(clock.Now().UnixMilli() % (message.MaxPacket + 1)),
	}
	if line, ok := l.(interface{ Baud() int }); ok {
		t.baud = line.Baud()
	}
	t.readers.Go(t.read)
	go t.own()
	return t
}

// close ends what is being done, closes the link, and waits for both goroutines.
func (t *conversation) close() error {
	t.once.Do(func() {
		close(t.closing)
		t.closeErr = t.link.Close()
	})
	<-t.ended
	t.readers.Wait()
	return t.closeErr
}

// errClosed is what is asked of a Matrix after Close.
var errClosed = fmt.Errorf("the link of the matrix is closed: %w", os.ErrClosed)
