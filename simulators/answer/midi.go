package answer

// MaxMessage is the most bytes of one message that are kept; a longer one is
// thrown away to its end.
const MaxMessage = 64 << 10

// Status bytes of MIDI 1.0.
const (
	firstStatus     = 0x80
	firstSystem     = 0xF0
	exclusive       = 0xF0
	endOfExclusive  = 0xF7
	firstRealTime   = 0xF8
	quarterFrame    = 0xF1
	songPosition    = 0xF2
	songSelect      = 0xF3
	tuneRequest     = 0xF6
	programChange   = 0xC0
	channelPressure = 0xD0
)

// midi cuts a stream into MIDI messages, each with its status byte.
type midi struct {
	// running is the channel status in force, or 0.
	running byte
	// message is under way while it is not empty; want is its full length, 0 for
	// system exclusive.
	message []byte
	want    int
	// overrun is true from a system exclusive's being too long until it ends.
	overrun bool
}

// add takes one byte and gives a message that it ends. The rules are those of
// MIDI 1.0: real-time bytes may come anywhere and are no part of a message;
// running status ends with any system message but those; data without a status
// in force is ignored. A system exclusive that another status byte ends has lost
// its last byte and perhaps more, and is thrown away.
func (m *midi) add(b byte) (message []byte) {
	switch {
	case b >= firstRealTime:
		return nil
	case b == endOfExclusive:
		return m.end()
	case b >= firstSystem:
		m.running = 0
		return m.begin(b, systemLength(b))
	case b >= firstStatus:
		m.running = b
		return m.begin(b, channelLength(b))
	}
	return m.data(b)
}

// systemLength is the length of a system common message with its status; 0 for
// system exclusive and -1 for those that are not defined.
func systemLength(status byte) int {
	switch status {
	case exclusive:
		return 0
	case quarterFrame, songSelect:
		return 2
	case songPosition:
		return 3
	case tuneRequest:
		return 1
	}
	return -1
}

func channelLength(status byte) int {
	if kind := status & 0xF0; kind == programChange || kind == channelPressure {
		return 2
	}
	return 3
}

func (m *midi) begin(status byte, want int) []byte {
	m.message, m.want, m.overrun = nil, want, false
	if want < 0 {
		return nil
	}
	m.message = []byte{status}
	return m.complete()
}

func (m *midi) end() []byte {
	whole := len(m.message) > 0 && m.want == 0 && !m.overrun
	message := append(m.message, endOfExclusive)
	m.message, m.running, m.overrun = nil, 0, false
	if !whole {
		return nil
	}
	return message
}

func (m *midi) data(b byte) []byte {
	if len(m.message) == 0 {
		if m.running == 0 {
			return nil
		}
		m.message, m.want = []byte{m.running}, channelLength(m.running)
	}
	if len(m.message) == MaxMessage {
		m.overrun = true
		return nil
	}
	m.message = append(m.message, b)
	return m.complete()
}

func (m *midi) complete() []byte {
	if m.want == 0 || len(m.message) < m.want {
		return nil
	}
	message := m.message
	m.message = nil
	return message
}

func (m *midi) clear() { *m = midi{} }
