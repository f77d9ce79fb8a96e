// Package message turns the messages of a device description into bytes, and
// bytes back into what they mean.
//
// A Codec is one description with the size of one matrix and its parameters
// filled in. It writes what is sent, and reads what is received, field by
// field. A Framer cuts the stream of received bytes into messages: lines, or
// MIDI messages.
//
// Two kinds of failure are kept apart. Bytes that are not the message that was
// waited for are ErrOther: a late answer, noise, a report. Bytes that are that
// message, and say what cannot be, such as a crosspoint outside the matrix, are
// ErrValue; nobody may pass over those, since somebody is wrong about the
// matrix.
//
// The package knows no link and no time: it asks nothing, waits for nothing,
// and keeps no state of the device.
package message

import (
	"cmp"
	"errors"

	"bayhand/drivers/wire"
)

// ErrOther is a message that is not the one that was waited for.
var ErrOther = errors.New("another message")

// ErrValue is the message that was waited for, saying what cannot be.
var ErrValue = errors.New("a value that cannot be")

// ErrTooLong is a message so long that no honest device sends it.
var ErrTooLong = wire.ErrTooLong

// Crosspoint is one output and the input that it listens to, in numbers from
// 1; input 0 is off.
type Crosspoint struct {
	Output, Input int
}

// Compare orders by output, then by input.
func (c Crosspoint) Compare(d Crosspoint) int {
	return cmp.Or(cmp.Compare(c.Output, d.Output), cmp.Compare(c.Input, d.Input))
}

// Says is what a message means. Which of it stands in a message, its
// description says; the rest is zero.
type Says struct {
	// Crosspoints are in the order in which they stand there.
	Crosspoints []Crosspoint
	// Unclear are outputs that an answer spoke of, and of which it said something that
	// is no input of the matrix: nobody knows what they listen to.
	Unclear []Unclear
	// Packet is a number that an answer repeats.
	Packet int
	// Code and Text are an error's number and words, or the words of a
	// refusal.
	Code int
	Text string
	// Preset is the number of a stored preset, Label the name of an output or input.
	Preset int
	Label  string
	// Identity is what the device says of itself.
	Identity string
}

// Unclear is an output and what the device said of it.
type Unclear struct {
	Output int
	Said   string
}
