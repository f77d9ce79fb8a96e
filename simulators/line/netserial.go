package line

import (
	"encoding/binary"
	"fmt"
	"io"
	"log/slog"
	"sync"

	"bayhand/model/device"
)

// RFC 854: telnet commands. RFC 856, 858 and 2217: the options that are agreed to.
const (
	se, sb, will, wont, do, dont, iac = 240, 250, 251, 252, 253, 254, 255

	binaryTransmission = 0
	suppressGoAhead    = 3
	comPortOption      = 44
)

// RFC 2217, section 2: what the client sets, each with what it has as long as nobody
// set it. An answer has 100 more. In all of them 0 asks what is set.
const (
	signature   = 0
	setBaud     = 1
	setSize     = 2
	setParity   = 3
	setStop     = 4
	setControl  = 5
	suspend     = 8
	resume      = 9
	fromServer  = 100
	longestSub  = 256
	usualBaud   = 9600
	eightBits   = 8
	noParity    = 1
	oneStopBit  = 1
	serverNamed = "bayhand simulate"
)

// netSerial is a serial line behind a network, from the far end: what a server of
// lines makes of a connection (RFC 2217). It is a stream of what passes on the line.
// Data that came with commands around it are read as if those were not there.
type netSerial struct {
	conn io.ReadWriteCloser
	log  *slog.Logger
	// device is the framing of the device itself.
	device device.Serial

	// The reader's own.
	state   telnetState
	verb    byte
	sub     []byte
	ours    map[byte]bool // options that this end has said it will
	theirs  map[byte]bool // options that it has asked the other end to do
	pending []byte

	// mu guards the fields below, and keeps what is written whole.
	mu           sync.Mutex
	baud         uint32
	size, parity byte
	stop         byte
}

type telnetState uint8

const (
	inData telnetState = iota
	afterIAC
	afterVerb
	inSub
	afterIACInSub
)

// NetSerial is what passes on a line behind the network (RFC 2217), for a test that puts
// something of its own between a connection and a device.
func NetSerial(conn io.ReadWriteCloser, d *device.Description) io.ReadWriteCloser {
	return newNetSerial(conn, d, slog.New(slog.DiscardHandler))
}

func newNetSerial(conn io.ReadWriteCloser, d *device.Description, log *slog.Logger) *netSerial {
	return &netSerial{
		conn: conn, log: log, device: d.Serial, ours: map[byte]bool{}, theirs: map[byte]bool{},
		baud: usualBaud, size: eightBits, parity: noParity, stop: oneStopBit,
	}
}

// Read gives what the device hears.
func (n *netSerial) Read(p []byte) (int, error) {
	buffer := make([]byte, chunk)
	for len(n.pending) == 0 {
		got, err := n.conn.Read(buffer)
		for _, b := range buffer[:got] {
			if err := n.take(b); err != nil {
				return 0, err
			}
		}
		if err != nil && len(n.pending) == 0 {
			return 0, err
		}
	}
	count := copy(p, n.pending)
	n.pending = n.pending[count:]
	return count, nil
}

// Write sends what the device says. A data byte that is IAC goes twice (RFC 854).
func (n *netSerial) Write(p []byte) (int, error) {
	n.mu.Lock()
	defer n.mu.Unlock()
	var out []byte
	for _, b := range p {
		b = n.onLine(b)
		out = append(out, b)
		if b == iac {
			out = append(out, iac)
		}
	}
	if _, err := n.conn.Write(out); err != nil {
		return 0, err
	}
	return len(p), nil
}

// Close ends the connection.
func (n *netSerial) Close() error { return n.conn.Close() }

// take takes one byte of the connection.
func (n *netSerial) take(b byte) error {
	switch n.state {
	case inData:
		if b == iac {
			n.state = afterIAC
			return nil
		}
		n.hear(b)
	case afterIAC:
		n.state = inData
		switch b {
		case iac:
			n.hear(b)
		case sb:
			n.state, n.sub = inSub, nil
		case will, wont, do, dont:
			n.state, n.verb = afterVerb, b
		}
	case afterVerb:
		n.state = inData
		return n.agree(n.verb, b)
	case inSub:
		if b == iac {
			n.state = afterIACInSub
			return nil
		}
		n.keep(b)
	case afterIACInSub:
		if b == se {
			n.state = inData
			return n.setting(n.sub)
		}
		n.state = inSub
		n.keep(b)
	}
	return nil
}

func (n *netSerial) hear(b byte) {
	n.mu.Lock()
	defer n.mu.Unlock()
	n.pending = append(n.pending, n.onLine(b))
}

func (n *netSerial) keep(b byte) {
	if len(n.sub) < longestSub {
		n.sub = append(n.sub, b)
	}
}

// onLine is the byte as it comes across: noise where the line does not run at the
// rate of the device.
func (n *netSerial) onLine(b byte) byte {
	if n.device.Baud > 0 && n.baud != uint32(n.device.Baud) {
		return (b<<3 | b>>5) ^ 0x5A
	}
	return b
}

// agree answers what the client wants or offers, unless it is so already: answers to
// answers would never end (RFC 854).
func (n *netSerial) agree(verb, option byte) error {
	known := option == binaryTransmission || option == suppressGoAhead || option == comPortOption
	state, yes, no := n.ours, byte(will), byte(wont)
	if verb == will || verb == wont {
		state, yes, no = n.theirs, do, dont
	}
	switch wanted := verb == will || verb == do; {
	case wanted && !known:
		return n.command(iac, no, option)
	case wanted == state[option]:
		return nil
	case wanted:
		state[option] = true
		return n.command(iac, yes, option)
	default:
		state[option] = false
		return n.command(iac, no, option)
	}
}

func (n *netSerial) command(bytes ...byte) error {
	n.mu.Lock()
	defer n.mu.Unlock()
	_, err := n.conn.Write(bytes)
	return err
}

// setting carries out what the client sets, and answers with what is set then.
func (n *netSerial) setting(sub []byte) error {
	if len(sub) < 2 || sub[0] != comPortOption {
		return nil
	}
	code, value := sub[1], sub[2:]
	n.mu.Lock()
	defer n.mu.Unlock()
	switch code {
	case signature:
		if len(value) > 0 {
			n.log.Debug("the client is", "signature", string(value))
			return nil
		}
		value = []byte(serverNamed)
	case setBaud:
		if len(value) != 4 {
			return nil
		}
		if asked := binary.BigEndian.Uint32(value); asked > 0 {
			n.baud = asked
			n.warn()
		}
		value = binary.BigEndian.AppendUint32(nil, n.baud)
	case setSize:
		value = set(&n.size, value)
	case setParity:
		value = set(&n.parity, value)
	case setStop:
		value = set(&n.stop, value)
	case setControl:
		value = control(value)
	case suspend, resume:
		return nil
	}
	return n.reply(code, value)
}

func (n *netSerial) warn() {
	if n.device.Baud > 0 && n.baud != uint32(n.device.Baud) {
		n.log.Warn(fmt.Sprintf("the line is set to %d baud and the device to %d: each hears noise", n.baud, n.device.Baud))
	}
}

func set(to *byte, value []byte) []byte {
	if len(value) == 1 && value[0] != 0 {
		*to = value[0]
	}
	return []byte{*to}
}

// control is what there is of what SET-CONTROL asks for: no flow control, no break,
// DTR and RTS on; what is set is taken as set.
func control(value []byte) []byte {
	is := map[byte]byte{0: 1, 4: 6, 7: 8, 10: 11, 13: 14}
	if len(value) == 1 {
		if answer, asked := is[value[0]]; asked {
			return []byte{answer}
		}
	}
	return value
}

func (n *netSerial) reply(code byte, value []byte) error {
	out := []byte{iac, sb, comPortOption, code + fromServer}
	for _, b := range value {
		out = append(out, b)
		if b == iac {
			out = append(out, iac)
		}
	}
	_, err := n.conn.Write(append(out, iac, se))
	return err
}
