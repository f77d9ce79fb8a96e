package link

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/device"
)

func TestParse(t *testing.T) {
	tests := map[string]Address{
		"serial:/dev/ttyUSB0": {Kind: device.SerialLink, Path: "/dev/ttyUSB0"},
		"serial:/dev/ttyUSB0?baud=19200&data=7&parity=even&stop=2": {Kind: device.SerialLink, Path: "/dev/ttyUSB0",
			Serial: device.Serial{Baud: 19200, DataBits: 7, Parity: "even", StopBits: 2}},
		"serial:COM3":                        {Kind: device.SerialLink, Path: "COM3"},
		"serial:/dev/ttyS0?flow=hardware":    {Kind: device.SerialLink, Path: "/dev/ttyS0", Serial: device.Serial{Flow: "hardware"}},
		"serial:usb:0403:6001:AB12?baud=300": {Kind: device.SerialLink, USB: USB{"0403", "6001", "AB12"}, Serial: device.Serial{Baud: 300}},
		"serial:usb:1a86:7523:":              {Kind: device.SerialLink, USB: USB{"1a86", "7523", ""}},
		"tcp:127.0.0.1:5025":                 {Kind: device.TCPLink, Host: "127.0.0.1", Port: 5025},
		"tcp:[::1]:5025":                     {Kind: device.TCPLink, Host: "::1", Port: 5025},
		"rfc2217:far:2217?clients=newest":    {Kind: device.RFC2217Link, Host: "far", Port: 2217, Clients: "newest"},
		"rfc2217:far:2217?baud=9600":         {Kind: device.RFC2217Link, Host: "far", Port: 2217, Serial: device.Serial{Baud: 9600}},
		"midi:Matrix port 1":                 {Kind: device.MIDILink, Path: "Matrix port 1"},
		"rawmidi:/dev/snd/midiC1D0":          {Kind: device.RawMIDILink, Path: "/dev/snd/midiC1D0"},
		"rawmidi:/tmp/from,/tmp/to":          {Kind: device.RawMIDILink, Path: "/tmp/from", WritePath: "/tmp/to"},
		"pty:/tmp/grid":                      {Kind: device.PTYLink, Path: "/tmp/grid"},
	}
	for address, want := range tests {
		got, err := Parse(address)
		if err != nil {
			t.Errorf("%s: %v", address, err)
			continue
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: -want +got\n%s", address, diff)
		}
		if got.String() != address {
			t.Errorf("%s is written back as %s", address, got)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	tests := map[string]string{
		"":                               "is not the address of a link",
		"serial":                         "is not the address of a link",
		"usb:/dev/ttyUSB0":               "is not the address of a link",
		"/dev/ttyUSB0":                   "is not the address of a link",
		"serial:":                        "is missing after the colon",
		"serial:/dev/x?baud=fast":        "it is a number from 50 to",
		"serial:/dev/x?baud=9600&baud=1": "given twice",
		"serial:/dev/x?speed=9600":       "those are baud, data, parity, stop and flow",
		"serial:/dev/x?parity=mark":      "it is none, even or odd",
		"serial:/dev/x?stop=1.5":         "from 1 to 2",
		"serial:/dev/x?%zz":              "not a list of settings",
		"serial:usb:403:6001:x":          "four hexadecimal digits",
		"serial:usb:0403":                "four hexadecimal digits",
		"tcp:far":                        "is not host:port",
		"tcp::5025":                      "is not host:port",
		"tcp:far:http":                   "from 1 to 65535",
		"tcp:far:70000":                  "from 1 to 65535",
		"tcp:::1:5025":                   "in brackets",
		"rfc2217:far":                    "is not host:port",
		"rfc2217:far:2217?clients=many":  "it is newest (a new connection ends the old one) or one (a second is refused)",
		"serial:/dev/ttyS0?clients=one":  "is not a setting of a serial line",
		"rawmidi:":                       "is missing",
		"rawmidi:/tmp/from,":             "the second path",
		"pty:":                           "is missing",
		"midi:":                          "is missing",
	}
	for address, want := range tests {
		if got, err := Parse(address); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s gave %+v, %v, want it to say %q", address, got, err, want)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"serial:/dev/ttyUSB0?baud=9600&parity=none", "serial:usb:0403:6001:A", "tcp:[::1]:80", "rawmidi:a,b", "pty:x"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, address string) {
		first, err := Parse(address)
		if err != nil {
			return
		}
		again, err := Parse(first.String())
		if err != nil {
			t.Fatalf("%q is written back as %q, which gives %v", address, first, err)
		}
		if first != again {
			t.Fatalf("%q is %+v, and %+v when written back", address, first, again)
		}
	})
}

func TestOpenRefuses(t *testing.T) {
	tests := []struct {
		address string
		kinds   []device.Link
		want    string
		is      error
	}{
		{"tcp:far:5025", []device.Link{device.SerialLink, device.RawMIDILink}, "it can to: serial, rawmidi", nil},
		{"nonsense", nil, "not the address", nil},
	}
	for _, test := range tests {
		_, err := Open(context.Background(), test.address, Options{Kinds: test.kinds})
		if err == nil || !strings.Contains(err.Error(), test.want) || test.is != nil && !errors.Is(err, test.is) {
			t.Errorf("%s: %v, want it to say %q", test.address, err, test.want)
		}
	}
}
