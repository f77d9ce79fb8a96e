package link

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/sys/unix"
)

func termios(file *os.File) (*unix.Termios, error) {
	return unix.IoctlGetTermios(int(file.Fd()), unix.TCGETS)
}

// The tree is as the kernel lays it out: a UART, a place without a chip, a
// console, a USB adapter with and one without a serial number, a MIDI device.
func TestList(t *testing.T) {
	root := t.TempDir()
	files := map[string]string{
		"sys/devices/pnp0/00:01/driver":               "",
		"sys/devices/platform/serial8250/driver":      "",
		"sys/devices/pci/usb1/1-2/idVendor":           "0403\n",
		"sys/devices/pci/usb1/1-2/idProduct":          "6001\n",
		"sys/devices/pci/usb1/1-2/serial":             "AB12\n",
		"sys/devices/pci/usb1/1-2/product":            "USB serial adapter\n",
		"sys/devices/pci/usb1/1-2/1-2:1.0/ttyUSB0/x":  "",
		"sys/devices/pci/usb1/1-3/idVendor":           "1A86\n",
		"sys/devices/pci/usb1/1-3/idProduct":          "7523\n",
		"sys/devices/pci/usb1/1-3/1-3:1.0/ttyUSB10/x": "",
		"sys/class/tty/ttyS0/type":                    "4\n",
		"sys/class/tty/ttyS1/type":                    "0\n",
		"sys/class/tty/console/active":                "tty0\n",
		"sys/class/tty/ttyUSB0/dev":                   "",
		"sys/class/tty/ttyUSB10/dev":                  "",
		"dev/snd/midiC1D0":                            "",
		"dev/snd/controlC1":                           "",
		"proc/asound/card1/midi0":                     "USB MIDI interface\n\nOutput 0\n",
	}
	for path, text := range files {
		path = filepath.Join(root, path)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for name, target := range map[string]string{
		"ttyS0": "pnp0/00:01", "ttyS1": "platform/serial8250",
		"ttyUSB0": "pci/usb1/1-2/1-2:1.0/ttyUSB0", "ttyUSB10": "pci/usb1/1-3/1-3:1.0/ttyUSB10",
	} {
		if err := os.Symlink(filepath.Join("../../../devices", target), filepath.Join(root, "sys/class/tty", name, "device")); err != nil {
			t.Fatal(err)
		}
	}
	lines, err := machineLines(t.Context(), root)
	if err != nil {
		t.Fatal(err)
	}
	var found []Found
	for _, l := range lines {
		l.path = strings.TrimPrefix(l.path, root)
		found = append(found, l.listed())
	}
	want := []Found{
		{Address: "rawmidi:/dev/snd/midiC1D0", Label: "USB MIDI interface"},
		{Address: "serial:/dev/ttyS0"},
		{Address: "serial:/dev/ttyUSB0", Label: "USB serial adapter", Steady: "serial:usb:0403:6001:AB12"},
		{Address: "serial:/dev/ttyUSB10"},
	}
	if diff := cmp.Diff(want, found); diff != "" {
		t.Errorf("-want +found\n%s", diff)
	}
	if lines[3].usb != (USB{Vendor: "1a86", Product: "7523"}) {
		t.Errorf("the adapter without a serial number is %+v", lines[3].usb)
	}
	for _, test := range []struct {
		want USB
		is   bool
	}{{USB{"0403", "6001", "AB12"}, true}, {USB{"0403", "6001", ""}, true}, {USB{"0403", "6001", "AB13"}, false}, {USB{"0403", "6002", ""}, false}} {
		if matches(lines[2].usb, test.want) != test.is {
			t.Errorf("%+v matches %+v: %v", lines[2].usb, test.want, !test.is)
		}
	}
}

func TestListHere(t *testing.T) {
	found, err := List(t.Context())
	if err != nil || found == nil {
		t.Errorf("List = %v, %v", found, err)
	}
	for _, f := range found {
		if _, err := Parse(f.Address); err != nil {
			t.Error(err)
		}
	}
}
