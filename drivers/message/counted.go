package message

import (
	"bytes"
	"fmt"
	"strconv"

	"bayhand/model/device"
)

// MaxCounted bounds a counted message in bytes.
const MaxCounted = 64 << 10

// countedFramer cuts out messages that open with the same bytes and say how
// long they are. What stands between them is thrown away.
type countedFramer struct {
	frame   device.Frame
	message []byte
}

func (f *countedFramer) Pending() int { return len(f.message) }
func (f *countedFramer) Reset()       { f.message = nil }

func (f *countedFramer) Feed(p []byte) (messages [][]byte, err error) {
	for _, b := range p {
		if len(f.message) == 0 && bytes.IndexByte(f.frame.Single, b) >= 0 {
			messages = append(messages, []byte{b})
			continue
		}
		f.message = append(f.message, b)
		f.findStart()
		length, known := counted(f.frame, f.message)
		switch {
		case !known:
		case length > MaxCounted || length < f.header():
			err = fmt.Errorf("%w: a message of %d bytes", ErrTooLong, length)
			f.message = append([]byte(nil), f.message[1:]...)
			f.findStart()
		case length == len(f.message):
			messages = append(messages, f.message)
			f.message = nil
		}
	}
	return messages, err
}

// header is how many bytes a message has at least.
func (f *countedFramer) header() int { return f.frame.Length.At + lengthSize(f.frame.Length) }

// findStart throws away what comes before the start of a message.
func (f *countedFramer) findStart() {
	for len(f.message) > 0 {
		n := min(len(f.message), len(f.frame.Start))
		if bytes.Equal(f.message[:n], f.frame.Start[:n]) {
			return
		}
		f.message = append([]byte(nil), f.message[1:]...)
	}
	f.message = nil
}

// lengthSize is how many bytes a length takes.
func lengthSize(l device.Length) int { return max(l.Width, l.Base.Bytes()) }

// counted is the length that a message says; false while it is not there yet. What
// stands in its place and is no number is known to be -1 bytes.
func counted(f device.Frame, message []byte) (length int, known bool) {
	at, size := f.Length.At, lengthSize(f.Length)
	if len(message) < at+size {
		return 0, false
	}
	if f.Length.Width == 0 {
		n, _ := fromBinary(f.Length.Base, message[at:])
		return n + f.Length.Add, true
	}
	base := 10
	if f.Length.Base == device.Hexadecimal {
		base = 16
	}
	n, err := strconv.ParseUint(string(message[at:at+size]), base, 31)
	if err != nil {
		return -1, true
	}
	return int(n) + f.Length.Add, true
}

// wellCounted says whether bytes are one message of the frame.
func wellCounted(f device.Frame, p []byte) bool {
	if len(p) == 1 && bytes.Contains(f.Single, p) {
		return true
	}
	length, known := counted(f, p)
	return known && length == len(p) && bytes.HasPrefix(p, f.Start)
}
