package link

import (
	"context"
	"strings"

	"go.bug.st/serial/enumerator"
)

// namesUSB says whether lines come with the identity of their USB adapter.
const namesUSB = true

// machineLines asks the system's device registry, which opens no port.
func machineLines(ctx context.Context, _ string) ([]line, error) {
	ports, err := enumerator.GetDetailedPortsList()
	if err != nil {
		return nil, err
	}
	var lines []line
	for _, p := range ports {
		l := line{kind: "serial", path: p.Name, label: p.Product}
		if p.IsUSB {
			l.usb = USB{Vendor: strings.ToLower(p.VID), Product: strings.ToLower(p.PID), Serial: p.SerialNumber}
		}
		lines = append(lines, l)
	}
	return lines, ctx.Err()
}
