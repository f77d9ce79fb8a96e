package link

import (
	"fmt"
	"net"
	"net/url"
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
}

// USB is the identity of a USB serial adapter. Vendor and Product are four
// hexadecimal digits in lower case; Serial may be empty where the adapter has
// no serial number.
type USB struct {
	Vendor, Product, Serial string
}

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

func (a *Address) parseSerial(rest string) error {
	path, query, _ := strings.Cut(rest, "?")
	if err := needed(path, "the path of the serial line"); err != nil {
		return err
	}
	if err := a.parseFraming(query); err != nil {
		return err
	}
	usb, found := strings.CutPrefix(path, "usb:")
	if !found {
		a.Path = path
		return nil
	}
	parts := strings.SplitN(usb, ":", 3)
	if len(parts) < 2 || !fourHex(parts[0]) || !fourHex(parts[1]) {
		return fmt.Errorf("usb:%s is not usb:VENDOR:PRODUCT:SERIAL, where vendor and product are four hexadecimal digits (`bayhand links` lists them)", usb)
	}
	a.USB = USB{Vendor: strings.ToLower(parts[0]), Product: strings.ToLower(parts[1])}
	if len(parts) == 3 {
		a.USB.Serial = parts[2]
	}
	return nil
}

func fourHex(text string) bool {
	_, err := strconv.ParseUint(text, 16, 16)
	return err == nil && len(text) == 4
}

// parseFraming reads ?baud=9600&parity=none&data=8&stop=1.
func (a *Address) parseFraming(query string) error {
	values, err := url.ParseQuery(query)
	if err != nil {
		return fmt.Errorf("%q is not a list of settings such as baud=9600&parity=none", query)
	}
	for key, all := range values {
		if len(all) > 1 {
			return fmt.Errorf("%s is given twice", key)
		}
		if err := a.frame(key, all[0]); err != nil {
			return err
		}
	}
	return nil
}

func (a *Address) frame(key, value string) error {
	var err error
	switch key {
	case "baud":
		a.Serial.Baud, err = within(key, value, 50, 12_000_000)
	case "data":
		a.Serial.DataBits, err = within(key, value, 5, 8)
	case "stop":
		a.Serial.StopBits, err = within(key, value, 1, 2)
	case "parity":
		a.Serial.Parity = value
		if value != "none" && value != "even" && value != "odd" {
			err = fmt.Errorf("parity is %q; it is none, even or odd", value)
		}
	default:
		err = fmt.Errorf("%q is not a setting of a serial line; those are baud, data, parity and stop", key)
	}
	return err
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
	return a.parseFraming(query)
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
	return a.Kind.String() + ":" + rest + query(a.Serial)
}

func query(s device.Serial) string {
	var settings []string
	add := func(key, value string, said bool) {
		if said {
			settings = append(settings, key+"="+value)
		}
	}
	add("baud", strconv.Itoa(s.Baud), s.Baud > 0)
	add("data", strconv.Itoa(s.DataBits), s.DataBits > 0)
	add("parity", s.Parity, s.Parity != "")
	add("stop", strconv.Itoa(s.StopBits), s.StopBits > 0)
	if len(settings) == 0 {
		return ""
	}
	return "?" + strings.Join(settings, "&")
}
