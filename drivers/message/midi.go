package message

import (
	"fmt"

	"gitlab.com/gomidi/midi/v2/drivers"
)

// MaxExclusive bounds a system exclusive message in bytes.
const MaxExclusive = 16 << 10

// MIDI 1.0: bytes from 80 are status bytes; those from F8 are real-time, and
// may stand anywhere, even inside another message.
const (
	statusBit    = 0x80
	exclusive    = 0xF0
	endExclusive = 0xF7
	realTime     = 0xF8
)

// midiFramer cuts a MIDI stream into messages, each with its status byte, also
// where the device left it out (running status). Real-time messages are left
// out, since active sensing would be most of the stream.
//
// The decoder is a library's. Three things are kept from it: a system exclusive
// that is longer than its buffer, which would end the program; a status byte in
// the middle of a message, which it would take for data; and the end of a
// system exclusive that never began. A system exclusive that another status
// byte ends is thrown away: it may have lost bytes.
type midiFramer struct {
	reader   *drivers.Reader
	messages [][]byte
	pending  int
	// inside is true within a system exclusive, running while a channel's status
	// is in force, lost while data bytes belong to nothing.
	inside, running, lost bool
}

func newMIDIFramer() *midiFramer {
	f := &midiFramer{lost: true}
	config := drivers.ListenConfig{SysEx: true, SysExBufferSize: MaxExclusive + 2}
	f.reader = drivers.NewReader(config, func(message []byte, _ int32) {
		if message[0] < realTime {
			f.messages = append(f.messages, message)
			f.pending = 0
		}
	})
	return f
}

func (f *midiFramer) Pending() int { return f.pending }

func (f *midiFramer) Reset() {
	f.reader.Reset()
	f.pending, f.inside, f.running, f.lost = 0, false, false, true
}

func (f *midiFramer) Feed(p []byte) ([][]byte, error) {
	f.messages = nil
	var err error
	for _, b := range p {
		switch {
		case b >= realTime:
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

func (f *midiFramer) status(b byte) {
	switch {
	case b == endExclusive && f.inside:
		f.reader.EachMessage([]byte{b}, 0)
		f.Reset()
	case b == endExclusive || b == 0xF4 || b == 0xF5:
		f.Reset() // undefined, or the end of nothing: both cancel running status
	default:
		f.Reset()
		f.pending, f.lost = 1, false
		f.inside, f.running = b == exclusive, b < exclusive
		f.reader.EachMessage([]byte{b}, 0)
		f.lost = f.pending == 0 // one byte was the whole message
	}
}

func (f *midiFramer) data(b byte) error {
	if f.inside && f.pending >= MaxExclusive {
		f.Reset()
		return fmt.Errorf("%w: a system exclusive of more than %d bytes", ErrTooLong, MaxExclusive)
	}
	f.pending++
	f.reader.EachMessage([]byte{b}, 0)
	f.lost = f.pending == 0 && !f.running
	return nil
}
