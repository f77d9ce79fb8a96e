package message

import (
	"bytes"
	"slices"

	"bayhand/model/device"
)

// Echoes are the messages that a device which echoes sends back of what was sent.
func (c *Codec) Echoes(sent []byte) [][]byte {
	f := c.description.Frame
	if f.Kind != device.Lines || len(f.Requests) == 0 {
		messages, _ := c.Framer().Feed(slices.Clone(sent))
		return messages
	}
	var echoes [][]byte
	for line := range bytes.SplitSeq(sent, f.Requests) {
		if len(line) > 0 {
			echoes = append(echoes, line)
		}
	}
	return echoes
}

// WithoutEcho is a message without what was sent come back at its beginning, and
// whether that stood there. A terminal often ends what it echoes otherwise than what
// it was sent, or not at all, so the ends of lines are no matter.
func (c *Codec) WithoutEcho(received, sent []byte) (rest []byte, echo bool) {
	if c.description.Frame.Kind != device.Lines {
		return nil, bytes.Equal(received, sent)
	}
	const ends = "\r\n"
	received = bytes.TrimPrefix(received, c.description.Wake)
	rest, echo = bytes.CutPrefix(received, bytes.TrimRight(sent, ends))
	if rest = bytes.TrimLeft(rest, ends); !echo || len(rest) == 0 {
		return nil, echo
	}
	return rest, !bytes.Equal(c.description.Frame.Requests, c.description.Frame.End)
}
