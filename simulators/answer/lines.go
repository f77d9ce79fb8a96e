package answer

import "bytes"

// lines cuts a stream into messages that end in the same bytes.
type lines struct {
	end []byte
	// blocks is true where definite-length blocks (IEEE 488.2, 7.7.6.2) can
	// arrive; the end's bytes inside their data do not end a message.
	blocks bool

	message []byte
	// digits is how many digits of a block's length are to come, hash whether
	// their number comes next, data how many bytes of the block's data.
	hash         bool
	digits, data int
	overrun      bool
}

// add takes one byte and gives a message that it ends, with its end. A message
// longer than MaxMessage is thrown away.
func (l *lines) add(b byte) (message []byte) {
	inData := l.data > 0
	if l.blocks && !l.overrun {
		l.follow(b)
	}
	if len(l.message) == MaxMessage {
		// Only its end is waited for now; blocks are not believed any more.
		l.overrun = true
		l.hash, l.digits, l.data, inData = false, 0, 0, false
		l.message = append(l.message[:0], l.message[MaxMessage-len(l.end):]...)
	}
	l.message = append(l.message, b)
	if inData || !bytes.HasSuffix(l.message, l.end) {
		return nil
	}
	if !l.overrun {
		message = l.message
	}
	l.clear()
	return message
}

func (l *lines) follow(b byte) {
	switch {
	case l.data > 0 && l.digits == 0:
		l.data--
	case l.digits > 0:
		if b < '0' || b > '9' {
			l.digits, l.data = 0, 0
			return
		}
		l.data = l.data*10 + int(b-'0')
		l.digits--
	case l.hash:
		l.hash = false
		if b >= '1' && b <= '9' {
			l.digits = int(b - '0')
		}
	default:
		l.hash = b == '#'
	}
}

func (l *lines) clear() { *l = lines{end: l.end, blocks: l.blocks} }

// maxUnended is the most bytes of a message that nothing ends: each byte more is a
// whole match more.
const maxUnended = 256

// unended cuts a stream whose messages nothing ends: as soon as what came is a whole
// message, it is one. What cannot become one is dropped byte by byte.
type unended struct {
	whole   func(message []byte) (whole, begins bool)
	message []byte
}

func (u *unended) add(b byte) (message []byte) {
	u.message = append(u.message, b)
	for len(u.message) > 0 {
		whole, begins := u.whole(u.message)
		if whole {
			message = u.message
			u.message = nil
			return message
		}
		if begins && len(u.message) < maxUnended {
			return nil
		}
		u.message = u.message[1:]
	}
	return nil
}

func (u *unended) clear() { u.message = nil }
