// Package wire cuts what comes on a MIDI cable into messages.
//
// The stream has its own ways (MIDI 1.0): a status byte that is the same as
// before is left out (running status), real-time bytes stand anywhere, and any
// status byte ends a system exclusive. What comes out are whole messages, each
// with its status byte. The package opens nothing, and does not know what the
// messages are for.
package wire

import (
	"bytes"
	"errors"
	"fmt"

	"gitlab.com/gomidi/midi/v2/drivers"
)

// MaxExclusive bounds a system exclusive message in bytes.
const MaxExclusive = 16 << 10

// ErrTooLong is a message so long that no honest device sends it.
var ErrTooLong = errors.New("a message without an end")

// MIDI 1.0: bytes from 80 are status bytes; those from F8 are real-time, and
// may stand anywhere, even inside another message.
const (
	statusBit    = 0x80
	exclusive    = 0xF0
	endExclusive = 0xF7
	// RealTime is the first of the real-time bytes.
	RealTime = 0xF8
)

// Framer cuts a MIDI stream into messages, each with its status byte, also
// where the device left it out (running status). Real-time messages are left
// out, since active sensing would be most of the stream.
//
// The decoder is a library's. Three things are kept from it: a system exclusive
// that is longer than its buffer, which would end the program; a status byte in
// the middle of a message, which it would take for data; and the end of a
// system exclusive that never began. A system exclusive that another status
// byte ends is thrown away: it may have lost bytes.
type Framer struct {
	reader   *drivers.Reader
	messages [][]byte
	pending  int
	// inside is true within a system exclusive, running while a channel's status
	// is in force, lost while data bytes belong to nothing.
	inside, running, lost bool
}

// NewFramer is for the beginning of a stream, or any place in it.
func NewFramer() *Framer {
	f := &Framer{lost: true}
	config := drivers.ListenConfig{SysEx: true, SysExBufferSize: 1}
	f.reader = drivers.NewReader(config, func(message []byte, _ int32) {
		if message[0] < RealTime {
			f.messages = append(f.messages, message)
			f.pending = 0
		}
	})
	return f
}

// Pending is how many bytes there are of a message that has not ended.
func (f *Framer) Pending() int { return f.pending }

// Reset throws them away. Between two messages running status stays in force: the
// device goes on with it.
func (f *Framer) Reset() {
	if !f.running || f.pending > 0 {
		f.restart()
	}
}

func (f *Framer) restart() {
	// The library makes its buffer anew for each message that begins, of a size
	// that only an exclusive needs.
	f.reader.SysExBufferSize = 1
	f.reader.Reset()
	f.reader.SysExBufferSize = MaxExclusive + 2
	f.pending, f.inside, f.running, f.lost = 0, false, false, true
}

// Feed takes bytes as they come and returns the messages that they complete.
// With ErrTooLong bytes were thrown away; the messages are good nevertheless.
func (f *Framer) Feed(p []byte) ([][]byte, error) {
	f.messages = nil
	var err error
	for _, b := range p {
		switch {
		case b >= RealTime:
		case b >= statusBit:
			f.status(b)
		case f.lost:
		default:
			if tooLong := f.data(b); tooLong != nil {
				err = tooLong
			}
		}
	}
	return f.messages, err
}

func (f *Framer) status(b byte) {
	switch {
	case b == endExclusive && f.inside:
		f.reader.EachMessage([]byte{b}, 0)
		f.restart()
	case b == endExclusive || b == 0xF4 || b == 0xF5:
		f.restart() // undefined, or the end of nothing: both cancel running status
	default:
		f.restart()
		f.pending, f.lost = 1, false
		f.inside, f.running = b == exclusive, b < exclusive
		f.reader.EachMessage([]byte{b}, 0)
		f.lost = f.pending == 0 // one byte was the whole message
	}
}

func (f *Framer) data(b byte) error {
	if f.inside && f.pending >= MaxExclusive {
		f.restart()
		return fmt.Errorf("%w: a system exclusive of more than %d bytes", ErrTooLong, MaxExclusive)
	}
	f.pending++
	f.reader.EachMessage([]byte{b}, 0)
	f.lost = f.pending == 0 && !f.running
	return nil
}

// Whole says whether bytes are whole messages and nothing beside. A message after
// the first may do without its status byte where that is the one before's.
func Whole(p []byte) bool {
	messages, err := NewFramer().Feed(p)
	if err != nil || len(messages) == 0 {
		return false
	}
	rest, running := p, false
	for _, message := range messages {
		switch {
		case bytes.HasPrefix(rest, message):
			rest = rest[len(message):]
		case running && bytes.HasPrefix(rest, message[1:]):
			rest = rest[len(message)-1:]
		default:
			return false
		}
		running = message[0] < exclusive
	}
	return len(rest) == 0
}
