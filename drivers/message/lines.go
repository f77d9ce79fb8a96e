package message

import (
	"bytes"
	"fmt"

	"bayhand/drivers/wire"
	"bayhand/model/device"
)

// MaxLine bounds a line in bytes. A list of every crosspoint of a matrix of 100
// by 100 is shorter.
const MaxLine = 256 << 10

// Framer cuts a stream of received bytes into messages. It is for one stream,
// and not safe for use by several goroutines.
type Framer interface {
	// Feed takes bytes as they come and returns the messages that they
	// complete. With an error, ErrTooLong, bytes were thrown away; the messages
	// are good nevertheless.
	Feed(p []byte) ([][]byte, error)
	// Pending is the number of bytes of a message that has not ended.
	Pending() int
	// Reset throws them away.
	Reset()
}

// Framer makes a framer for a new stream of the device.
func (c *Codec) Framer() Framer {
	switch c.description.Frame.Kind {
	case device.MIDIMessages:
		return wire.NewFramer()
	case device.Counted:
		return &countedFramer{frame: c.description.Frame}
	case device.Delimited:
		return &delimitedFramer{frame: c.description.Frame}
	case device.Lines, device.FrameUnknown:
	}
	f := c.description.Frame
	return &lineFramer{end: f.End, prompt: f.Prompt, single: f.Single, blockAfter: c.blockAfter}
}

// lineFramer cuts at the bytes that end a line, but not inside a block. Empty lines
// and prompts are no messages.
type lineFramer struct {
	end, prompt, single []byte
	blockAfter          [][]byte
	line                []byte
	// block is the number of bytes of a block that are still to come.
	block int
	// inHeader is true within a block's header, which began at header; after is
	// where the block ended.
	inHeader      bool
	header, after int
	// lost is true while the rest of a line that was too long is thrown away.
	lost bool
}

// Pending does not count the beginning of a prompt, which is no message.
func (f *lineFramer) Pending() int {
	if f.prompting() {
		return 0
	}
	return len(f.line)
}

func (f *lineFramer) prompting() bool {
	return !f.lost && len(f.line) < len(f.prompt) && bytes.HasPrefix(f.prompt, f.line)
}

// Reset keeps the beginning of a prompt, so that the rest of it is known for one.
func (f *lineFramer) Reset() {
	if !f.prompting() {
		f.restart()
	}
}

func (f *lineFramer) restart() {
	f.line, f.block, f.inHeader, f.after, f.lost = nil, 0, false, 0, false
}

func (f *lineFramer) Feed(p []byte) (messages [][]byte, err error) {
	for _, b := range p {
		if len(f.line) == 0 && !f.lost && bytes.IndexByte(f.single, b) >= 0 {
			messages = append(messages, []byte{b})
			continue
		}
		f.line = append(f.line, b)
		switch {
		case f.block > 0:
			f.block--
			f.after = len(f.line)
			continue
		case f.inHeader:
			f.readHeader()
			continue
		case b == '#' && f.blockMayBegin():
			f.inHeader, f.header = true, len(f.line)-1
			continue
		}
		if bytes.HasSuffix(f.line, f.end) {
			if line := f.trimmed(); !f.lost && !bytes.Equal(line, f.end) {
				messages = append(messages, line)
			}
			f.restart()
		} else if f.between() {
			f.restart()
		} else if len(f.line) > MaxLine {
			err = fmt.Errorf("%w: a line of more than %d bytes", ErrTooLong, MaxLine)
			f.line, f.lost = f.line[:0], true
		}
	}
	return messages, err
}

// between says whether what is there stands between two messages: a prompt, which
// ends without the end of a line, or the second half of an end.
func (f *lineFramer) between() bool {
	return !f.lost && (len(f.prompt) > 0 && bytes.Equal(f.line, f.prompt) || string(f.end) == "\r" && string(f.line) == "\n")
}

// blockMayBegin says whether all before the last byte is what precedes a block.
func (f *lineFramer) blockMayBegin() bool {
	for _, before := range f.blockAfter {
		if !f.lost && bytes.Equal(f.line[:len(f.line)-1], before) {
			return true
		}
	}
	return false
}

// readHeader looks whether the header is complete. A header that is none is
// text after all.
func (f *lineFramer) readHeader() {
	_, count, complete, err := blockHeader(f.line[f.header:])
	if err != nil {
		f.inHeader = false
	} else if complete {
		f.inHeader, f.block = false, count
	}
}

// trimmed is the line without the carriage return that some devices put before
// a line feed: white space (IEEE 488.2, 7.4.1.2).
func (f *lineFramer) trimmed() []byte {
	if string(f.end) != "\n" {
		return f.line
	}
	text := f.line[:len(f.line)-1]
	if len(text) > f.after {
		text = bytes.TrimSuffix(text, []byte("\r"))
	}
	return append(text, '\n')
}
