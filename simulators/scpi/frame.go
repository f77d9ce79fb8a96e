package scpi

// InputBuffer is the most bytes of one program message that are kept. A longer
// one is thrown away with error -363, "Input buffer overrun".
const InputBuffer = 64 << 10

// terminator ends a program message (IEEE 488.2, 7.5.2). A carriage return
// before it is white space (7.4.1.2) and needs no rule of its own.
const terminator = '\n'

// framer cuts a stream into program messages. A line feed inside the data of a
// definite-length block (7.7.6.2) does not end a message; everywhere else it
// does, even within an unfinished string.
type framer struct {
	buffer []byte
	// quote is the quotation mark of the string that is open, or 0.
	quote byte
	state blockState
	// digits is how many digits of a block's length are to come, length what
	// they say so far; then length is how many bytes of its data are to come.
	digits, length int
	// overrun is true from a message's being too long until it ends.
	overrun bool
}

type blockState uint8

const (
	outside blockState = iota
	afterHash
	inLength
	inData
)

// add takes one byte. It says whether a message is complete, and then whether
// it was too long; message is valid until the next call.
func (f *framer) add(b byte) (message []byte, complete, overrun bool) {
	if b == terminator && f.state != inData {
		message, overrun = f.buffer, f.overrun
		*f = framer{buffer: f.buffer[:0]}
		return message, true, overrun
	}
	f.follow(b)
	if len(f.buffer) == InputBuffer {
		// The block's length is no longer believed: the next line feed ends
		// this message.
		f.overrun, f.state = true, outside
		return nil, false, false
	}
	f.buffer = append(f.buffer, b)
	return nil, false, false
}

// follow keeps track of strings and blocks.
func (f *framer) follow(b byte) {
	switch f.state {
	case outside:
		f.followOutside(b)
	case afterHash:
		f.state = outside
		if b >= '1' && b <= '9' {
			f.state, f.digits, f.length = inLength, int(b-'0'), 0
		}
	case inLength:
		if b < '0' || b > '9' {
			f.state = outside
			return
		}
		f.length = f.length*10 + int(b-'0')
		if f.digits--; f.digits == 0 {
			f.enterData()
		}
	case inData:
		if f.length--; f.length == 0 {
			f.state = outside
		}
	}
}

func (f *framer) followOutside(b byte) {
	switch {
	case f.quote != 0:
		if b == f.quote {
			f.quote = 0
		}
	case b == '"' || b == '\'':
		f.quote = b
	case b == '#':
		f.state = afterHash
	}
}

func (f *framer) enterData() {
	f.state = inData
	if f.length == 0 {
		f.state = outside
	}
}

// clear forgets an unfinished message, as when a link breaks.
func (f *framer) clear() { *f = framer{} }
