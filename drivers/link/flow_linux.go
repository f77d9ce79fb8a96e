package link

import (
	"errors"
	"fmt"
	"os"
	"syscall"

	"go.bug.st/serial"
	"golang.org/x/sys/unix"

	"bayhand/drivers/ports"
)

// openFlowing opens a serial line with flow control, which the library takes off
// each line that it opens. The line is opened twice for that: the second opener must
// be there before the library forbids others.
func openFlowing(path string, m *serial.Mode, flow string) (serial.Port, error) {
	if flow == noFlow {
		return serial.Open(path, m)
	}
	line, err := os.OpenFile(path, os.O_RDWR|syscall.O_NONBLOCK|syscall.O_NOCTTY|syscall.O_CLOEXEC, 0)
	if err != nil {
		return nil, ports.Reason(err)
	}
	defer line.Close()
	port, err := serial.Open(path, m)
	if err != nil {
		return nil, err
	}
	if err := setFlow(line, flow); err != nil {
		return nil, errors.Join(err, port.Close())
	}
	return port, nil
}

// setFlow sets it, and looks whether the line has it then: a driver leaves out what
// its hardware has not, and says nothing.
func setFlow(line *os.File, flow string) error {
	conn, err := line.SyscallConn()
	if err != nil {
		return err
	}
	var setErr error
	err = conn.Control(func(fd uintptr) { setErr = setTermios(int(fd), flow) })
	return errors.Join(err, setErr)
}

func setTermios(fd int, flow string) error {
	settings, err := unix.IoctlGetTermios(fd, unix.TCGETS)
	if err != nil {
		return err
	}
	const software = unix.IXON | unix.IXOFF
	if flow == hardwareFlow {
		settings.Cflag |= unix.CRTSCTS
	} else {
		settings.Iflag |= software
		settings.Cc[unix.VSTART], settings.Cc[unix.VSTOP] = 0x11, 0x13 // DC1 and DC3, ISO/IEC 646
	}
	if err := unix.IoctlSetTermios(fd, unix.TCSETS, settings); err != nil {
		return fmt.Errorf("the line does not take %s flow control: %w", flow, err)
	}
	if settings, err = unix.IoctlGetTermios(fd, unix.TCGETS); err != nil {
		return err
	}
	if flow == hardwareFlow && settings.Cflag&unix.CRTSCTS == 0 || flow == softwareFlow && settings.Iflag&software != software {
		return fmt.Errorf("the line has no %s flow control; write flow=none, or use another adapter", flow)
	}
	return nil
}
