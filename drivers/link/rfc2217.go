package link

import (
	"bytes"
	"cmp"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"net"
	"os"
	"strconv"
	"sync"
	"time"

	"bayhand/model/device"
	"bayhand/model/phrase"
)

// Codes of com port control (RFC 2217, section 3). The server's answer has 100
// added.
const (
	setBaudRate = 1
	setDataSize = 2
	setParity   = 3
	setStopSize = 4
	setControl  = 5
	suspend     = 8
	resume      = 9
	purgeData   = 12
	fromServer  = 100

	purgeBoth = 3
)

// comPort is a serial line at the far end of a telnet connection. The far end
// sets the line and moves its bytes; commands stand among the bytes.
type comPort struct {
	under stream // what carries the bytes, commands among them
	conn  net.Conn

	// The reader's own.
	telnet telnetStream
	data   []byte
	// agreedAll is true once all is agreed. What comes before is from before our time,
	// and is not kept: the far end decides how much that is.
	agreedAll bool
	// words are the text that came before, as a server sends that refuses.
	words []byte
	// refused is an option that the far end will not have, and cannot do without.
	refused error
	// agreed are the options that the far end has said yes to.
	agreed map[offer]bool
	// set are the values that the far end says it has set, by their code.
	set map[byte][]byte

	closing chan struct{}
	once    sync.Once
	// mu guards the fields below.
	mu sync.Mutex
	// held is open while the far end asks for no more bytes; nil otherwise.
	held    chan struct{}
	writeBy time.Time
}

// offer is an option with who is to have it: WILL is us, DO the far end.
type offer struct{ verb, option byte }

// offers are what has to be agreed: com port control, and all 256 bytes both
// ways (RFC 2217, section 2, and RFC 856).
var offers = []offer{
	{verb: telnetWILL, option: optionComPort},
	{verb: telnetWILL, option: optionBinary},
	{verb: telnetDO, option: optionBinary},
	{verb: telnetWILL, option: optionGoAhead},
	{verb: telnetDO, option: optionGoAhead},
}

func openRFC2217(ctx context.Context, a Address, usual device.Serial) (Link, error) {
	dialer := net.Dialer{KeepAliveConfig: keepAlive}
	conn, err := dialer.DialContext(ctx, "tcp", net.JoinHostPort(a.Host, strconv.Itoa(a.Port)))
	if err != nil {
		return nil, err
	}
	c := newComPort(conn, a.String())
	c.under.baud = cmp.Or(a.Serial.Baud, usual.Baud, 9600)
	// The end of the context ends what waits.
	stop := context.AfterFunc(ctx, func() { conn.SetDeadline(time.Unix(1, 0)) })
	if err = c.agree(a.Serial, usual); err != nil {
		err = c.explained(err)
	}
	if !stop() || err != nil {
		return nil, errors.Join(cmp.Or(err, ctx.Err()), c.Close())
	}
	return c, nil
}

func newComPort(conn net.Conn, address string) *comPort {
	return &comPort{
		under: stream{address: address, in: conn, out: conn}, conn: conn,
		agreed: map[offer]bool{}, set: map[byte][]byte{}, closing: make(chan struct{}),
	}
}

// agree has the far end take the options, then set its line.
func (c *comPort) agree(said, usual device.Serial) error {
	var ask []byte
	for _, o := range offers {
		ask = append(ask, telnetIAC, o.verb, o.option)
	}
	if _, err := c.conn.Write(ask); err != nil {
		return err
	}
	if err := c.await("com port control (RFC 2217); is it a plain TCP port, tcp:HOST:PORT?", c.optionsAgreed); err != nil {
		return err
	}
	for _, s := range settings(said, usual) {
		if _, err := c.conn.Write(subnegotiation(s.code, s.value...)); err != nil {
			return err
		}
		answered := func() bool { return c.set[s.code] != nil }
		if err := c.await(phrase.Put("the setting of {name}", "name", s.name), answered); err != nil {
			return err
		}
		if got := c.set[s.code]; !bytes.Equal(got, s.value) {
			return fmt.Errorf("the far end has set %s to %s, not %s", s.name, decimalOf(got), decimalOf(s.value))
		}
	}
	// What waits in its buffers is from before our time, too.
	_, err := c.conn.Write(subnegotiation(purgeData, purgeBoth))
	c.agreedAll = true
	return err
}

func (c *comPort) optionsAgreed() bool {
	return c.agreed[offer{verb: telnetDO, option: optionComPort}] &&
		c.agreed[offer{verb: telnetDO, option: optionBinary}] &&
		c.agreed[offer{verb: telnetWILL, option: optionBinary}]
}

// await reads until something is so.
func (c *comPort) await(what string, so func() bool) error {
	for !so() {
		err := c.receive()
		switch {
		case errors.Is(err, os.ErrDeadlineExceeded):
			return fmt.Errorf("the far end does not answer about %s: %w", what, err)
		case err != nil:
			return err
		case c.refused != nil:
			return c.refused
		}
	}
	return nil
}

// setting is one value of the line at the far end.
type setting struct {
	name  string
	code  byte
	value []byte
}

// settings are those of a framing, in the order of the RFC.
func settings(said, usual device.Serial) []setting {
	baud := cmp.Or(said.Baud, usual.Baud, 9600)
	parity := map[string]byte{"none": 1, "odd": 2, "even": 3}[cmp.Or(said.Parity, usual.Parity, "none")]
	flow := map[string]byte{noFlow: 1, softwareFlow: 2, hardwareFlow: 3}[cmp.Or(said.Flow, usual.Flow, noFlow)]
	return []setting{
		{"the baud rate", setBaudRate, binary.BigEndian.AppendUint32(nil, uint32(baud))},
		{"the data bits", setDataSize, []byte{byte(cmp.Or(said.DataBits, usual.DataBits, 8))}},
		{"the parity", setParity, []byte{parity}},
		{"the stop bits", setStopSize, []byte{byte(cmp.Or(said.StopBits, usual.StopBits, 1))}},
		{"the flow control", setControl, []byte{flow}},
	}
}

// decimalOf is a value as the RFC counts it.
func decimalOf(value []byte) string {
	n := uint64(0)
	for _, b := range value {
		n = n<<8 | uint64(b)
	}
	return strconv.FormatUint(n, 10)
}

// receive reads what has come, and does what the commands in it ask.
func (c *comPort) receive() error {
	buffer := make([]byte, 4096)
	n, err := c.conn.Read(buffer)
	data, commands := c.telnet.take(buffer[:n])
	if c.agreedAll {
		c.data = append(c.data, data...)
	} else {
		c.words = append(c.words, data...)
		c.words = c.words[max(0, len(c.words)-mostWords):]
	}
	for _, command := range commands {
		if replyErr := c.obey(command); err == nil {
			err = replyErr
		}
	}
	if n > 0 && err != nil && len(c.data) > 0 {
		return nil // the next read says it again
	}
	return err
}

func (c *comPort) obey(command telnetCommand) error {
	switch command.verb {
	case telnetDO, telnetWILL:
		return c.asked(command)
	case telnetDONT, telnetWONT:
		c.denied(command)
	case telnetSB:
		if command.option == optionComPort && len(command.sub) > 0 {
			c.told(command.sub[0], command.sub[1:])
		}
	}
	return nil
}

// asked agrees to what we offered, and to nothing else. An offer that was
// agreed already is not agreed again, or both ends would go on for ever.
func (c *comPort) asked(command telnetCommand) error {
	ours := offer{verb: telnetWILL, option: command.option}
	no := byte(telnetWONT)
	if command.verb == telnetWILL {
		ours.verb, no = telnetDO, telnetDONT
	}
	for _, o := range offers {
		if o == ours {
			c.agreed[offer{verb: command.verb, option: command.option}] = true
			return nil
		}
	}
	_, err := c.conn.Write([]byte{telnetIAC, no, command.option})
	return err
}

func (c *comPort) denied(command telnetCommand) {
	switch command.option {
	case optionComPort:
		if command.verb == telnetDONT {
			c.refused = errors.New("the far end does not control its serial line (RFC 2217); set the line there and write tcp:HOST:PORT")
		}
	case optionBinary:
		c.refused = errors.New("the far end does not carry all bytes (RFC 856)")
	}
}

// told takes what the far end says of its line.
func (c *comPort) told(code byte, value []byte) {
	switch code - fromServer {
	case setBaudRate, setDataSize, setParity, setStopSize, setControl:
		// One says what it has set several times where others change it too.
		c.set[code-fromServer] = append([]byte{}, value...)
	case suspend:
		c.hold(true)
	case resume:
		c.hold(false)
	}
}
