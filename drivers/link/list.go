package link

import (
	"cmp"
	"context"
	"fmt"
	"strings"

	"bayhand/drivers/ports"
	"bayhand/model/device"
)

// Found is a line of this machine that a device may hang on.
type Found struct {
	// Address opens it, as a studio file has it.
	Address string `json:"address"`
	// Label is what the machine calls it; may be empty.
	Label string `json:"label"`
	// Steady is an address that survives replugging into another socket; empty
	// where the line has none.
	Steady string `json:"steady"`
}

// machineRoot is the folder that all of the machine's files lie below.
const machineRoot = "/"

// List names the serial lines and MIDI ports of this machine, sorted by
// address. It opens none of them: opening a serial line moves its DTR and RTS,
// and there are devices that start anew when those move. Pseudo-terminals are
// not listed.
func List(ctx context.Context) ([]Found, error) {
	lines, err := machineLines(ctx, machineRoot)
	if err != nil {
		return nil, fmt.Errorf("the lines of this machine cannot be listed: %w", err)
	}
	found := make([]Found, 0, len(lines))
	for _, l := range lines {
		found = append(found, l.listed())
	}
	for _, name := range ports.SystemNames() {
		found = append(found, Found{Address: device.MIDILink.String() + ":" + name})
	}
	return found, nil
}

// line is one line as the machine knows it.
type line struct {
	kind, path, label string
	usb               USB
}

func (l line) listed() Found {
	f := Found{Address: l.kind + ":" + l.path, Label: l.label}
	if l.kind == "serial" && l.usb != (USB{}) && l.usb.Serial != "" {
		f.Steady = "serial:usb:" + l.usb.Vendor + ":" + l.usb.Product + ":" + l.usb.Serial
	}
	return f
}

// findUSB is the path of the serial adapter that says so of itself.
func findUSB(ctx context.Context, root string, want USB) (string, error) {
	if !namesUSB {
		return "", fmt.Errorf("naming a USB adapter by its maker's numbers: %w: not reachable on this platform; write the path of the line", ErrNotHere)
	}
	lines, err := machineLines(ctx, cmp.Or(root, machineRoot))
	if err != nil {
		return "", err
	}
	var paths []string
	for _, l := range lines {
		if l.kind == "serial" && matches(l.usb, want) {
			paths = append(paths, l.path)
		}
	}
	switch len(paths) {
	case 0:
		return "", fmt.Errorf("no such USB serial adapter is plugged in (`bayhand links` lists those that are)")
	case 1:
		return paths[0], nil
	}
	return "", fmt.Errorf("several adapters are so called: %s; add the serial number, or name the path", strings.Join(paths, ", "))
}

func matches(have, want USB) bool {
	return have.Vendor == want.Vendor && have.Product == want.Product &&
		(want.Serial == "" || have.Serial == want.Serial)
}
