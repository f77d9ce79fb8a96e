package sequencer

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
)

// eventSize is the size of struct snd_seq_event, on every processor.
const eventSize = 28

// Places in struct snd_seq_event.
const (
	typeAt, flagsAt, queueAt = 0, 1, 3
	sourceAt, destAt, dataAt = 12, 14, 16
)

// Places in its data: a note's, a controller's and a system exclusive's.
const (
	channelAt, noteAt, velocityAt = dataAt, dataAt + 1, dataAt + 2
	paramAt, valueAt              = dataAt + 4, dataAt + 8
	lengthAt                      = dataAt
)

// direct is the queue that hands an event on at once, SNDRV_SEQ_QUEUE_DIRECT.
const direct = 253

// The bits of flags that say whether data follows the event,
// SNDRV_SEQ_EVENT_LENGTH_*.
const (
	lengthMask     = 3 << 2
	lengthVariable = 1 << 2
)

// Types of events, SNDRV_SEQ_EVENT_*.
const (
	controller14    = 14
	nonRegistered   = 15
	registered      = 16
	clientExit      = 61
	portExit        = 64
	systemExclusive = 130
	pitchBend       = 13
)

// channelTypes are the types of the channel messages, by the upper half of their
// status from 8 on.
var channelTypes = [...]byte{7, 6, 8, 10, 11, 12, pitchBend}

// systemTypes are the types of the system messages, by the lower half of their
// status; 0 for those that MIDI 1.0 does not define, and the system exclusive.
var systemTypes = [...]byte{0x1: 22, 0x2: 20, 0x3: 21, 0x6: 40, 0x8: 36, 0x9: 37, 0xA: 30, 0xB: 31, 0xC: 32, 0xE: 42, 0xF: 41}

// pieceLength is how many bytes of a system exclusive go with one event, as the
// kernel cuts those that come in.
const pieceLength = 256

// Encode turns one whole MIDI message, with its status byte, into events from one
// port to another; each is to be written by itself. A system exclusive becomes
// several events where it is long.
func Encode(message []byte, from, to Address) ([][]byte, error) {
	if len(message) == 0 || message[0] < 0x80 {
		return nil, errors.New("a MIDI message begins with a status byte")
	}
	if message[0] == 0xF0 {
		return pieces(message, from, to), nil
	}
	kind, length := typeOf(message[0])
	isStatus := func(b byte) bool { return b >= 0x80 }
	if kind == 0 || len(message) != length || slices.ContainsFunc(message[1:], isStatus) {
		return nil, fmt.Errorf("% X is no message of MIDI 1.0", message)
	}
	event := empty(kind, from, to)
	fill(event, message)
	return [][]byte{event}, nil
}

func empty(kind byte, from, to Address) []byte {
	event := make([]byte, eventSize)
	event[typeAt], event[queueAt] = kind, direct
	event[sourceAt], event[sourceAt+1] = from.Client, from.Port
	event[destAt], event[destAt+1] = to.Client, to.Port
	return event
}

func pieces(exclusive []byte, from, to Address) (events [][]byte) {
	for len(exclusive) > 0 {
		n := min(len(exclusive), pieceLength)
		event := empty(systemExclusive, from, to)
		event[flagsAt] = lengthVariable
		binary.NativeEndian.PutUint32(event[lengthAt:], uint32(n))
		events = append(events, append(event, exclusive[:n]...))
		exclusive = exclusive[n:]
	}
	return events
}

// typeOf is the type of event for a status, and the length of its message in
// bytes; 0 for a status that has none.
func typeOf(status byte) (kind byte, length int) {
	switch {
	case status < 0xC0, status >= 0xE0 && status < 0xF0:
		return channelTypes[status>>4-8], 3
	case status < 0xE0:
		return channelTypes[status>>4-8], 2
	}
	kind, length = systemTypes[status&0xF], 1
	switch status {
	case 0xF1, 0xF3:
		length = 2
	case 0xF2:
		length = 3
	}
	return kind, length
}

// fill puts what a message says into its event.
func fill(event, message []byte) {
	put := func(at int, value uint32) { binary.NativeEndian.PutUint32(event[at:], value) }
	status := message[0]
	if status < 0xF0 {
		event[channelAt] = status & 0xF
	}
	switch {
	case status < 0xB0:
		event[noteAt], event[velocityAt] = message[1], message[2]
	case status < 0xC0:
		put(paramAt, uint32(message[1]))
		put(valueAt, uint32(message[2]))
	case len(message) == 3: // pitch bend, whose middle is 0, and song position
		value := int32(message[2])<<7 | int32(message[1])
		if status < 0xF0 {
			value -= bendMiddle
		}
		put(valueAt, uint32(value))
	case len(message) == 2:
		put(valueAt, uint32(message[1]))
	}
}

// bendMiddle is what MIDI 1.0 sends for a pitch that is not bent.
const bendMiddle = 8192
