//go:build !linux

package link

import (
	"fmt"

	"go.bug.st/serial"
)

func openFlowing(path string, m *serial.Mode, flow string) (serial.Port, error) {
	if flow != noFlow {
		return nil, fmt.Errorf("%s flow control on a serial line: %w: not reachable on this platform; write flow=none, or serve the line by RFC 2217", flow, ErrNotHere)
	}
	return serial.Open(path, m)
}
