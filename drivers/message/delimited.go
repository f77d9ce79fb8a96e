package message

import (
	"bytes"
	"fmt"

	"bayhand/model/device"
)

// MaxDelimited bounds a delimited message in bytes.
const MaxDelimited = 64 << 10

// delimitedFramer cuts out messages that open with some bytes and close with others;
// what stands between messages is thrown away. The messages are without escapes.
type delimitedFramer struct {
	frame   device.Frame
	message []byte
	// escaped is true after the escape, begun once the start is whole, closed once the
	// end was seen; after counts the bytes that are still to come.
	escaped, begun, closed bool
	after                  int
	// own is how many bytes of the message stand as they were sent, at its end: an end
	// that an escape brought is none.
	own int
}

func (f *delimitedFramer) Pending() int { return len(f.message) }

func (f *delimitedFramer) Reset() { *f = delimitedFramer{frame: f.frame} }

func (f *delimitedFramer) Feed(p []byte) (messages [][]byte, err error) {
	for _, b := range p {
		whole := f.take(b)
		if whole != nil {
			messages = append(messages, whole)
		}
		if len(f.message) > MaxDelimited {
			err = fmt.Errorf("%w: a message of more than %d bytes", ErrTooLong, MaxDelimited)
			f.Reset()
		}
	}
	return messages, err
}

// take takes one byte and gives the message that it ends.
func (f *delimitedFramer) take(b byte) []byte {
	switch {
	case !f.begun:
		return f.begin(b)
	case f.closed:
		f.message = append(f.message, b)
		f.after--
	case f.escaped:
		f.message, f.own, f.escaped = append(f.message, unstuffed(f.frame, b)), 0, false
		return nil
	case len(f.frame.Escaped) > 0 && b == f.frame.Escape:
		f.escaped, f.own = true, 0
		return nil
	default:
		f.message = append(f.message, b)
		f.own++
		if f.closed = f.own >= len(f.frame.End) && bytes.HasSuffix(f.message, f.frame.End); f.closed {
			f.after = f.frame.After
		}
	}
	if !f.closed || f.after > 0 {
		return nil
	}
	whole := f.message
	f.Reset()
	return whole
}

// begin takes a byte before the start is whole.
func (f *delimitedFramer) begin(b byte) []byte {
	if len(f.message) == 0 && bytes.IndexByte(f.frame.Single, b) >= 0 {
		return []byte{b}
	}
	f.message = append(f.message, b)
	for len(f.message) > 0 && !bytes.HasPrefix(f.frame.Start, f.message) {
		f.message = f.message[1:]
	}
	f.begun = len(f.message) == len(f.frame.Start)
	return nil
}

func unstuffed(f device.Frame, b byte) byte {
	for _, e := range f.Escaped {
		if e.As == b {
			return e.Byte
		}
	}
	return b
}

// stuffed writes a message of the frame with its escapes between start and end.
func stuffed(f device.Frame, p []byte) []byte {
	from, to := escapes(f, p)
	out := bytes.Clone(p[:from])
	for _, b := range p[from:to] {
		if as, special := stuffing(f, b); special {
			out = append(out, f.Escape, as)
		} else {
			out = append(out, b)
		}
	}
	return append(out, p[to:]...)
}

// stuffedTo is how many bytes the first of a message take with their escapes.
func stuffedTo(f device.Frame, p []byte, first int) int {
	from, to := escapes(f, p)
	size := first
	for _, b := range p[from:max(from, min(first, to))] {
		if _, special := stuffing(f, b); special {
			size++
		}
	}
	return size
}

// escapes is the part of a message in which bytes are escaped, that between its start
// and its end; an empty one where nothing is.
func escapes(f device.Frame, p []byte) (from, to int) {
	tail := len(f.End) + f.After
	if f.Kind != device.Delimited || len(f.Escaped) == 0 || len(p) < len(f.Start)+tail {
		return 0, 0
	}
	return len(f.Start), len(p) - tail
}

func stuffing(f device.Frame, b byte) (as byte, special bool) {
	for _, e := range f.Escaped {
		if e.Byte == b {
			return e.As, true
		}
	}
	return 0, false
}

// unescaped is a message of the frame as its fields have it.
func unescaped(c *Codec, p []byte) []byte {
	if c.description.Frame.Kind != device.Delimited {
		return p
	}
	messages, _ := c.Framer().Feed(bytes.Clone(p))
	if len(messages) != 1 {
		return p
	}
	return messages[0]
}

// delimits says whether bytes are one message of the frame.
func delimits(c *Codec, p []byte) bool {
	if len(p) == 1 && bytes.Contains(c.description.Frame.Single, p) {
		return true
	}
	messages, err := c.Framer().Feed(bytes.Clone(p))
	return err == nil && len(messages) == 1 && bytes.HasPrefix(p, c.description.Frame.Start)
}
