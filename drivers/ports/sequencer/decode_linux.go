package sequencer

import (
	"encoding/binary"
	"errors"
)

// Event is what was read of one event.
type Event struct {
	// Source is the port that it comes from.
	Source Address
	// Bytes are the bytes of MIDI that it stands for: whole messages, a piece of a
	// system exclusive, or none.
	Bytes []byte
	// Gone is the port that the kernel says is no longer there, if it says so of one;
	// GoneAll is set where it is the whole client.
	Gone    *Address
	GoneAll bool
}

var errCut = errors.New("the sequencer gave a part of an event")

// Decode takes the first event from what was read, and returns the rest. What a
// system exclusive brings follows its event, filled up to whole events.
func Decode(read []byte) (event Event, rest []byte, err error) {
	if len(read) < eventSize {
		return Event{}, nil, errCut
	}
	head, rest := read[:eventSize], read[eventSize:]
	event.Source = Address{head[sourceAt], head[sourceAt+1]}
	var data []byte
	if head[flagsAt]&lengthMask == lengthVariable {
		n := int64(binary.NativeEndian.Uint32(head[lengthAt:]))
		filled := (n + eventSize - 1) / eventSize * eventSize
		if filled > int64(len(rest)) {
			return Event{}, nil, errCut
		}
		data, rest = rest[:n], rest[filled:]
	}
	event.read(head, data)
	return event, rest, nil
}

func (e *Event) read(head, data []byte) {
	switch kind := head[typeAt]; kind {
	case systemExclusive:
		e.Bytes = data
	case portExit, clientExit:
		e.Gone = &Address{head[dataAt], head[dataAt+1]}
		e.GoneAll = kind == clientExit
	case controller14, nonRegistered, registered:
		e.Bytes = controllers(kind, head)
	default:
		e.Bytes = message(kind, head)
	}
}

// message is the MIDI message of an event of a fixed size; nil where there is none.
func message(kind byte, head []byte) []byte {
	status, ok := statusOf(kind, head[channelAt])
	if !ok {
		return nil
	}
	param := binary.NativeEndian.Uint32(head[paramAt:])
	value := binary.NativeEndian.Uint32(head[valueAt:])
	if kind == pitchBend {
		value += bendMiddle
	}
	_, length := typeOf(status)
	switch {
	case status < 0xB0:
		return []byte{status, head[noteAt] & 0x7F, head[velocityAt] & 0x7F}
	case status < 0xC0:
		return []byte{status, byte(param & 0x7F), byte(value & 0x7F)}
	}
	return []byte{status, byte(value & 0x7F), byte(value >> 7 & 0x7F)}[:length]
}

// statusOf is the status byte of a type of event.
func statusOf(kind, channel byte) (status byte, ok bool) {
	for i, of := range channelTypes {
		if of == kind {
			return byte(i+8)<<4 | channel&0xF, true
		}
	}
	for i, of := range systemTypes {
		if of == kind && kind != 0 {
			return 0xF0 | byte(i), true
		}
	}
	return 0, false
}

// Controllers that carry the numbers of others (MIDI 1.0): data entry, its lower
// half, and the parameter's number.
const (
	dataEntry, dataEntryLow         = 6, 38
	nonRegisteredHigh, registeredHi = 99, 101
	lowHalves                       = 32
)

// controllers are the Control Changes of an event that programs send for several:
// a controller of 14 bits, or a parameter by its number.
func controllers(kind byte, head []byte) []byte {
	status := 0xB0 | head[channelAt]&0xF
	param := binary.NativeEndian.Uint32(head[paramAt:])
	value := binary.NativeEndian.Uint32(head[valueAt:])
	high, low := byte(value>>7&0x7F), byte(value&0x7F)
	if kind == controller14 {
		if param >= lowHalves {
			return []byte{status, byte(param & 0x7F), low}
		}
		return []byte{status, byte(param), high, status, byte(param) + lowHalves, low}
	}
	number := byte(registeredHi)
	if kind == nonRegistered {
		number = nonRegisteredHigh
	}
	return []byte{
		status, number, byte(param >> 7 & 0x7F), status, number - 1, byte(param & 0x7F),
		status, dataEntry, high, status, dataEntryLow, low,
	}
}
