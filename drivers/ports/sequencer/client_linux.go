package sequencer

import (
	"errors"
	"fmt"
	"os"
	"time"

	"golang.org/x/sys/unix"
)

// device is the sequencer's file; opening it loads its module.
const device = "/dev/snd/seq"

// Client is an open file of the sequencer, which has a port of its own once it is
// connected. Read may run beside everything else, which is for one goroutine.
type Client struct {
	file   *os.File
	number byte
	own    Address
	peer   Address
}

// Open makes a client of that name, which other programs see.
func Open(name string) (*Client, error) {
	file, err := os.OpenFile(device, os.O_RDWR|unix.O_NONBLOCK|unix.O_CLOEXEC, 0)
	if err != nil {
		return nil, err
	}
	c := &Client{file: file}
	if err := c.introduce(name); err != nil {
		return nil, errors.Join(fmt.Errorf("%s: %w", device, err), file.Close())
	}
	return c, nil
}

func (c *Client) introduce(name string) error {
	var number int32
	if err := ioctl(c.file, ioctlClientID, &number); err != nil {
		return err
	}
	c.number = byte(number)
	info := clientInfo{client: number}
	if err := ioctl(c.file, ioctlGetClient, &info); err != nil {
		return err
	}
	info.name = [64]byte{}
	copy(info.name[:len(info.name)-1], name)
	return ioctl(c.file, ioctlSetClient, &info)
}

// Close ends a Read, and with it the connection.
func (c *Client) Close() error { return c.file.Close() }

// Port is a port of the machine.
type Port struct {
	Address Address
	// Client and Name are what the client and its port are called.
	Client, Name string
	// Heard says that it can be listened to, Sent that it can be sent to.
	Heard, Sent bool
}

// Ports are the ports that may be connected to, of devices and of programs, by
// their addresses.
func (c *Client) Ports() ([]Port, error) {
	var all []Port
	client := clientInfo{client: -1}
	for {
		switch err := ioctl(c.file, ioctlNextClient, &client); {
		case errors.Is(err, unix.ENOENT):
			return all, nil
		case err != nil:
			return nil, err
		}
		if byte(client.client) == announce.Client || byte(client.client) == c.number {
			continue
		}
		ports, err := c.portsOf(client)
		if err != nil {
			return nil, err
		}
		all = append(all, ports...)
	}
}

func (c *Client) portsOf(client clientInfo) ([]Port, error) {
	var all []Port
	// The one after 255 is 0.
	info := portInfo{address: Address{Client: byte(client.client), Port: 255}}
	for {
		switch err := ioctl(c.file, ioctlNextPort, &info); {
		case errors.Is(err, unix.ENOENT): // it was the last, or the client has just gone
			return all, nil
		case err != nil:
			return nil, err
		}
		if p, ok := info.port(text(client.name[:])); ok {
			all = append(all, p)
		}
	}
}

// port is what a port can be used for; none where it is a program's private one.
func (p portInfo) port(client string) (Port, bool) {
	has := func(all uint32) bool { return p.capability&all == all }
	port := Port{
		Address: p.address, Client: client, Name: text(p.name[:]),
		Heard: has(capRead | capSubsRead), Sent: has(capWrite | capSubsWrite),
	}
	return port, (port.Heard || port.Sent) && !has(capNoExport)
}

// HearFrom connects a port to hear what comes from another, and the kernel's word
// of ports that go.
func (c *Client) HearFrom(peer Address) error {
	if err := c.createPort(peer, capWrite); err != nil {
		return err
	}
	pool := clientPool{client: int32(c.number)}
	if err := ioctl(c.file, ioctlGetPool, &pool); err != nil {
		return err
	}
	pool.input = inputPool
	if err := ioctl(c.file, ioctlSetPool, &pool); err != nil {
		return err
	}
	for _, from := range []Address{announce, peer} {
		if err := ioctl(c.file, ioctlSubscribe, &subscription{sender: from, dest: c.own}); err != nil {
			return err
		}
	}
	return nil
}

// inputPool is how many events the kernel keeps for a client that reads late, the
// most that it gives one (SNDRV_SEQ_MAX_CLIENT_EVENTS of sound/seq_kernel.h).
const inputPool = 2000

// SendTo connects a port to send to another.
func (c *Client) SendTo(peer Address) error {
	if err := c.createPort(peer, capRead); err != nil {
		return err
	}
	return ioctl(c.file, ioctlSubscribe, &subscription{sender: c.own, dest: peer})
}

// createPort makes the client's own port. Nobody else may connect anything to it.
func (c *Client) createPort(peer Address, capability uint32) error {
	info := portInfo{
		address: Address{Client: c.number}, capability: capability | capNoExport,
		kind: typeMIDI | typeApplication, channels: 16,
	}
	copy(info.name[:], "port")
	if err := ioctl(c.file, ioctlCreatePort, &info); err != nil {
		return err
	}
	c.own, c.peer = info.address, peer
	return nil
}

// Connected says whether the port that SendTo connected to is still the same: a
// device that was pulled and put back has the same address and no connection.
func (c *Client) Connected() bool {
	return ioctl(c.file, ioctlGetSubs, &subscription{sender: c.own, dest: c.peer}) == nil
}

// Pieces are the events that Write is to write, one after another, for a message.
func (c *Client) Pieces(message []byte) ([][]byte, error) { return Encode(message, c.own, c.peer) }

// Write hands one event to the port that SendTo connected to, at once. It does not
// wait: a file of the sequencer is always ready to be written, and a receiver
// that has no room is an error.
func (c *Client) Write(event []byte) error {
	conn, err := c.file.SyscallConn()
	if err != nil {
		return err
	}
	var written error
	if err := conn.Control(func(fd uintptr) { _, written = unix.Write(int(fd), event) }); err != nil {
		return err
	}
	return written
}

// readSize holds the longest event that there can be: as many bytes as the whole
// pool has. The kernel never gives an event that does not fit.
const readSize = (inputPool + 2) * 32

// ErrLost is what Read returns when events were lost, since nobody read them.
var ErrLost = errors.New("MIDI messages were lost, since they came faster than they were read")

// Read gives each event that comes to hear, until an error, or until the client is
// closed, which is os.ErrClosed.
func (c *Client) Read(hear func(Event)) error {
	buffer := make([]byte, readSize)
	if err := c.file.SetReadDeadline(time.Time{}); err != nil {
		return err
	}
	for {
		n, err := c.file.Read(buffer)
		if errors.Is(err, unix.ENOSPC) {
			return ErrLost
		}
		if err != nil {
			return err
		}
		for rest := buffer[:n]; len(rest) > 0; {
			var event Event
			if event, rest, err = Decode(rest); err != nil {
				return err
			}
			hear(event)
		}
	}
}
