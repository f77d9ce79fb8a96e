package panel

// keys takes the keys out of what a terminal sends.
type keys struct {
	// begun is an escape sequence that has not ended.
	begun []byte
}

// longestSequence is more than any sequence of the keys that matter here.
const longestSequence = 16

const escape = 0x1B

// add takes one byte and gives the key that it ends; KeyUnknown, false while a
// sequence is under way. Arrows are ESC [ A to ESC [ D, or with O for [ in the
// other mode (ECMA-48, 8.3.22 and the usual keypad modes).
func (k *keys) add(b byte) (Key, bool) {
	switch {
	case b == escape:
		k.begun = []byte{b}
		return KeyUnknown, false
	case len(k.begun) == 0:
		return plainKeys[b], true
	case len(k.begun) == 1 && (b == '[' || b == 'O'):
		k.begun = append(k.begun, b)
		return KeyUnknown, false
	case len(k.begun) == 1:
		// A lone escape before another key.
		k.begun = nil
		return plainKeys[b], true
	case b >= '@' && b <= '~' || len(k.begun) == longestSequence:
		k.begun = nil
		return arrows[b], true
	}
	k.begun = append(k.begun, b)
	return KeyUnknown, false
}

var plainKeys = map[byte]Key{
	'h': Left, 'j': Down, 'k': Up, 'l': Right,
	' ': Turn, '\r': Turn, '\n': Turn,
	'o': OpenAll,
	'q': Leave, 0x03: Leave, 0x04: Leave, // Ctrl-C and Ctrl-D
}

var arrows = map[byte]Key{'A': Up, 'B': Down, 'C': Right, 'D': Left}
