package link

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"bayhand/model/device"
)

func (a *Address) parseSerial(rest string) error {
	path, query, _ := strings.Cut(rest, "?")
	if err := needed(path, "the path of the serial line"); err != nil {
		return err
	}
	if err := a.parseSettings(query); err != nil {
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

// The kinds of flow control, as device.Serial has them.
const (
	noFlow       = "none"
	hardwareFlow = "hardware"
	softwareFlow = "software"
)

// parseSettings reads ?baud=9600&parity=none&data=8&stop=1&flow=none, and clients=newest
// of a server.
func (a *Address) parseSettings(query string) error {
	values, err := url.ParseQuery(query)
	if err != nil {
		return fmt.Errorf("%q is not a list of settings such as baud=9600&parity=none", query)
	}
	for key, all := range values {
		if len(all) > 1 {
			return fmt.Errorf("%s is given twice", key)
		}
		if key == "clients" && a.Kind == device.RFC2217Link {
			if a.Clients = all[0]; a.Clients != OneClient && a.Clients != NewestClient {
				return fmt.Errorf("clients is %q; it is newest (a new connection ends the old one) or one (a second is refused)", all[0])
			}
			continue
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
	case "flow":
		a.Serial.Flow = value
		if value != noFlow && value != hardwareFlow && value != softwareFlow {
			err = fmt.Errorf("flow is %q; it is none, hardware (RTS and CTS) or software (XON and XOFF)", value)
		}
	default:
		err = fmt.Errorf("%q is not a setting of a serial line; those are baud, data, parity, stop and flow", key)
	}
	return err
}

func query(a Address) string {
	s := a.Serial
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
	add("flow", s.Flow, s.Flow != "")
	add("clients", a.Clients, a.Clients != "")
	if len(settings) == 0 {
		return ""
	}
	return "?" + strings.Join(settings, "&")
}
