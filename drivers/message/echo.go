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

// IsEcho says whether a message is what was sent come back. A terminal often ends
// what it echoes otherwise than what it was sent, so the ends of lines are no matter.
func (c *Codec) IsEcho(received, sent []byte) bool {
	if c.description.Frame.Kind != device.Lines {
		return bytes.Equal(received, sent)
	}
	const ends = "\r\n"
	return bytes.Equal(bytes.TrimRight(received, ends), bytes.TrimRight(sent, ends))
}
