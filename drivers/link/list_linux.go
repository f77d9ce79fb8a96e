package link

import (
	"cmp"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"bayhand/drivers/ports"
)

// namesUSB says whether lines come with the identity of their USB adapter.
const namesUSB = true

// machineLines reads what the kernel writes about its lines, below root. It opens
// no device, which the serial library's own listing does to find the places
// without a chip.
func machineLines(ctx context.Context, root string) ([]line, error) {
	serial, err := serialBelow(root)
	if err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	midi, err := midiBelow(root)
	if err != nil {
		return nil, err
	}
	lines := append(serial, midi...)
	slices.SortFunc(lines, func(a, b line) int {
		return cmp.Or(strings.Compare(a.kind, b.kind), cmp.Compare(len(a.path), len(b.path)), strings.Compare(a.path, b.path))
	})
	return lines, nil
}

func serialBelow(root string) ([]line, error) {
	folder := filepath.Join(root, "sys/class/tty")
	entries, err := os.ReadDir(folder)
	if os.IsNotExist(err) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var lines []line
	for _, entry := range entries {
		hardware, err := filepath.EvalSymlinks(filepath.Join(folder, entry.Name(), "device"))
		if err != nil {
			continue // a console or a pseudo-terminal: no hardware behind it
		}
		// Type 0 is a place for a port where the kernel found no chip.
		if text(filepath.Join(folder, entry.Name(), "type")) == "0" {
			continue
		}
		l := line{kind: "serial", path: filepath.Join(root, "dev", entry.Name())}
		l.usb, l.label = usbAbove(root, hardware)
		lines = append(lines, l)
	}
	return lines, nil
}

// usbAbove walks from a tty's hardware up to the USB device that it is part of;
// nothing if it is none.
func usbAbove(root, folder string) (USB, string) {
	top := filepath.Join(root, "sys")
	for strings.HasPrefix(folder, top) && folder != top {
		if vendor := text(filepath.Join(folder, "idVendor")); vendor != "" {
			usb := USB{
				Vendor:  strings.ToLower(vendor),
				Product: strings.ToLower(text(filepath.Join(folder, "idProduct"))),
				Serial:  text(filepath.Join(folder, "serial")),
			}
			return usb, text(filepath.Join(folder, "product"))
		}
		folder = filepath.Dir(folder)
	}
	return USB{}, ""
}

func midiBelow(root string) ([]line, error) {
	devices, err := ports.Devices(root)
	var lines []line
	for _, d := range devices {
		lines = append(lines, line{kind: "rawmidi", path: d.Path, label: d.Name})
	}
	return lines, err
}

// text is a short file's text without the space around it; empty if there is
// none.
func text(path string) string {
	src, err := os.ReadFile(path)
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(src))
}
