package panel

import (
	"fmt"
	"strconv"
	"strings"
)

// passage is some bytes that passed on the line in one direction.
type passage struct {
	received bool
	bytes    []byte
}

const (
	// keptPassages and keptBytes bound what is remembered of the line.
	keptPassages = 64
	keptBytes    = 256
)

// Heard tells the panel of bytes on the line, received by the device or sent by
// it. Bytes that go on with what came before in the same direction are shown
// with it.
func (p *Panel) Heard(received bool, bytes []byte) {
	if len(bytes) == 0 {
		return
	}
	p.mu.Lock()
	p.hear(received, bytes)
	p.mu.Unlock()
	p.redraw()
}

func (p *Panel) hear(received bool, bytes []byte) {
	if last := len(p.heard) - 1; last >= 0 && p.heard[last].goesOn(received) {
		p.heard[last].bytes = clipped(append(p.heard[last].bytes, bytes...))
		return
	}
	if len(p.heard) == keptPassages {
		p.heard = append(p.heard[:0], p.heard[1:]...)
	}
	p.heard = append(p.heard, passage{received, clipped(append([]byte(nil), bytes...))})
}

func clipped(bytes []byte) []byte { return bytes[:min(len(bytes), keptBytes)] }

// goesOn says whether more bytes of that direction belong to the passage: it
// has not come to the end of a line or a system exclusive, and has room.
func (q passage) goesOn(received bool) bool {
	last := q.bytes[len(q.bytes)-1]
	return q.received == received && last != '\n' && last != 0xF7 && len(q.bytes) < keptBytes
}

// String is the passage as the panel shows it: < for what the device received,
// > for what it sent, then text in quotes, or bytes in hexadecimal where they
// are no text.
func (q passage) String() string {
	arrow := "> "
	if q.received {
		arrow = "< "
	}
	return arrow + printed(q.bytes)
}

func printed(bytes []byte) string {
	for _, b := range bytes {
		if b >= 0x7F || b < ' ' && b != '\n' && b != '\r' && b != '\t' {
			return strings.TrimSpace(fmt.Sprintf("% X", bytes))
		}
	}
	return strconv.Quote(string(bytes))
}
