package line

import (
	"fmt"
	"strconv"
)

// Traffic is some bytes that passed on the line.
type Traffic struct {
	// Received is true for bytes to the device.
	Received bool
	Bytes    []byte
}

// String is the bytes as a log or a panel shows them: < for what the device
// received, > for what it sent, then text in quotes, or bytes in hexadecimal
// where they are no text.
func (t Traffic) String() string {
	arrow := ">"
	if t.Received {
		arrow = "<"
	}
	if !isText(t.Bytes) {
		return fmt.Sprintf("%s % X", arrow, t.Bytes)
	}
	return arrow + " " + strconv.Quote(string(t.Bytes))
}

func isText(bytes []byte) bool {
	for _, b := range bytes {
		if b >= 0x7F || b < ' ' && b != '\n' && b != '\r' && b != '\t' {
			return false
		}
	}
	return true
}

// passed tells of bytes that passed.
func (s *server) passed(t Traffic) {
	s.log.Debug("on the line", "passed", t)
	s.traffic(t)
}
