package link

import (
	"fmt"
	"net"
	"strconv"
	"strings"

	"bayhand/model/device"
)

// Address is where a link is, taken apart.
type Address struct {
	Kind device.Link
	// Path is a device, a FIFO, a pseudo-terminal or the name of a MIDI port.
	Path string
	// WritePath is the second FIFO of a pair, to the device; else empty.
	WritePath string
	// USB names a serial adapter by what it says of itself; else zero.
	USB USB
	// Host and Port of a network link.
	Host string
	Port int
	// Serial is the framing as far as the address says it.
	Serial device.Serial
	// Clients is how many the server of a network line lets in, as a person says:
	// OneClient, NewestClient, or empty where it is not said.
	Clients string
}

// USB is the identity of a USB serial adapter. Vendor and Product are four
// hexadecimal digits in lower case; Serial may be empty where the adapter has
// no serial number.
type USB struct {
	Vendor, Product, Serial string
}

// How a server of a serial line keeps a second client from the line of the first.
const (
	// OneClient is a server that refuses a second client.
	OneClient = "one"
	// NewestClient is one that ends the old connection when a new one comes.
	NewestClient = "newest"
)

var kinds = []device.Link{
	device.SerialLink, device.TCPLink, device.RFC2217Link,
	device.MIDILink, device.RawMIDILink, device.PTYLink,
}

// Parse takes an address apart. It opens nothing.
func Parse(address string) (Address, error) {
	word, rest, found := strings.Cut(address, ":")
	kind := device.LinkUnknown
	for _, k := range kinds {
		if k.String() == word {
			kind = k
		}
	}
	if !found || kind == device.LinkUnknown {
		return Address{}, fmt.Errorf("%q is not the address of a link; write serial:/dev/ttyUSB0?baud=9600, tcp:host:port, rawmidi:/dev/snd/midiC1D0 or pty:PATH", address)
	}
	a := Address{Kind: kind}
	var err error
	switch kind {
	case device.SerialLink:
		err = a.parseSerial(rest)
	case device.TCPLink:
		err = a.parseHost(rest)
	case device.RFC2217Link:
		err = a.parseRFC2217(rest)
	case device.RawMIDILink:
		err = a.parseRawMIDI(rest)
	case device.MIDILink, device.PTYLink:
		a.Path = rest
		err = needed(rest, "a name")
	case device.LinkUnknown:
	}
	if err != nil {
		return Address{}, fmt.Errorf("%q: %w", address, err)
	}
	return a, nil
}

func needed(text, what string) error {
	if text == "" {
		return fmt.Errorf("%s is missing after the colon", what)
	}
	return nil
}

func within(what, value string, low, high int) (int, error) {
	n, err := strconv.Atoi(value)
	if err != nil || n < low || n > high {
		return 0, fmt.Errorf("%s is %q; it is a number from %d to %d", what, value, low, high)
	}
	return n, nil
}

func (a *Address) parseHost(rest string) error {
	host, port, err := net.SplitHostPort(rest)
	if err != nil || host == "" {
		return fmt.Errorf("%q is not host:port (an IPv6 address stands in brackets)", rest)
	}
	a.Host = host
	a.Port, err = within("the port", port, 1, 65535)
	return err
}

func (a *Address) parseRFC2217(rest string) error {
	host, query, _ := strings.Cut(rest, "?")
	if err := a.parseHost(host); err != nil {
		return err
	}
	return a.parseSettings(query)
}

// parseRawMIDI reads one path, or two with a comma between: the FIFO that the
// device writes, then the one that it reads.
func (a *Address) parseRawMIDI(rest string) error {
	in, out, pair := strings.Cut(rest, ",")
	if err := needed(in, "the path of the device"); err != nil {
		return err
	}
	if pair && out == "" {
		return fmt.Errorf("the second path of the pair is missing; write rawmidi:FROM-DEVICE,TO-DEVICE")
	}
	a.Path, a.WritePath = in, out
	return nil
}

// String is an address that Parse reads as the same.
func (a Address) String() string {
	rest := a.Path
	switch {
	case a.USB != USB{}:
		rest = "usb:" + a.USB.Vendor + ":" + a.USB.Product + ":" + a.USB.Serial
	case a.Host != "":
		rest = net.JoinHostPort(a.Host, strconv.Itoa(a.Port))
	case a.WritePath != "":
		rest += "," + a.WritePath
	}
	return a.Kind.String() + ":" + rest + query(a)
}
