package link

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"go.bug.st/serial"

	"bayhand/drivers/ports"
	"bayhand/model/device"
)

// slice is how long one wait for bytes lasts before the deadline and Close are
// looked at again.
const slice = 50 * time.Millisecond

// serialLink is a serial line.
//
// The library's reads take a timeout and then return nothing and no error; its
// writes block without bound; and its Close lets go of the descriptor before
// the readers are out. So reads go in slices, writes in a goroutine of their
// own, and Close waits for both.
type serialLink struct {
	address string
	port    serial.Port
	mode    *serial.Mode

	readBy, writeBy atomic.Pointer[time.Time]
	closing         chan struct{}
	once            sync.Once
	closeErr        error

	// reading is held while the port is being read.
	reading sync.Mutex
	// work is a message for the writer; done brings how that went.
	work chan []byte
	done chan written
	// busy holds a token while the writer has not answered.
	busy chan struct{}
	// gone is closed when the writer has ended.
	gone chan struct{}
}

type written struct {
	n   int
	err error
}

func openSerial(ctx context.Context, a Address, o Options) (Link, error) {
	path := a.Path
	if (a.USB != USB{}) {
		var err error
		if path, err = findUSB(ctx, o.Root, a.USB); err != nil {
			return nil, err
		}
	}
	set := mode(a.Serial, o.Serial)
	port, err := openPort(ctx, path, set, cmp.Or(a.Serial.Flow, o.Serial.Flow, noFlow))
	if err != nil {
		return nil, err
	}
	// What waits in the buffers is from before our time.
	if err := port.ResetInputBuffer(); err != nil && !noSuchLine(err) {
		return nil, errors.Join(err, port.Close())
	}
	l := &serialLink{
		address: a.String(), port: port, mode: set,
		closing: make(chan struct{}), gone: make(chan struct{}),
		work: make(chan []byte), done: make(chan written, 1), busy: make(chan struct{}, 1),
	}
	go l.write()
	return l, nil
}

// openPort opens in a goroutine: a driver that hangs in open(2) must not take
// us along. A port that comes too late is closed again.
func openPort(ctx context.Context, path string, m *serial.Mode, flow string) (serial.Port, error) {
	type result struct {
		port serial.Port
		err  error
	}
	results := make(chan result, 1)
	go func() {
		port, err := openFlowing(path, m, flow)
		results <- result{port, err}
	}()
	select {
	case r := <-results:
		return r.port, serialReason(r.err)
	case <-ctx.Done():
		go func() {
			if r := <-results; r.err == nil {
				_ = r.port.Close() // nobody is left to hear of it
			}
		}()
		return nil, fmt.Errorf("the driver did not open it in time: %w", ctx.Err())
	}
}

// mode asks for no modem lines: a pseudo-terminal has none, and opening with
// them would fail there.
func mode(said, usual device.Serial) *serial.Mode {
	m := &serial.Mode{
		BaudRate: cmp.Or(said.Baud, usual.Baud, 9600),
		DataBits: cmp.Or(said.DataBits, usual.DataBits, 8),
	}
	switch cmp.Or(said.Parity, usual.Parity, "none") {
	case "even":
		m.Parity = serial.EvenParity
	case "odd":
		m.Parity = serial.OddParity
	default:
		m.Parity = serial.NoParity
	}
	if cmp.Or(said.StopBits, usual.StopBits, 1) == 2 {
		m.StopBits = serial.TwoStopBits
	}
	return m
}

func (l *serialLink) Read(p []byte) (int, error) {
	for {
		wait, err := l.patience()
		if err != nil {
			return 0, ended(l.address, err, false)
		}
		n, err := l.readSlice(p, wait)
		if n > 0 {
			return n, nil
		}
		if err != nil {
			return 0, ended(l.address, err, l.isClosing())
		}
	}
}

// patience is how long to wait now; the error tells why not at all.
func (l *serialLink) patience() (time.Duration, error) {
	if l.isClosing() {
		return 0, os.ErrClosed
	}
	by := l.readBy.Load()
	if by == nil {
		return slice, nil
	}
	left := time.Until(*by)
	if left <= 0 {
		return 0, os.ErrDeadlineExceeded
	}
	return min(left, slice), nil
}

func (l *serialLink) readSlice(p []byte, wait time.Duration) (int, error) {
	l.reading.Lock()
	defer l.reading.Unlock()
	if l.isClosing() {
		return 0, os.ErrClosed
	}
	if err := l.port.SetReadTimeout(wait); err != nil {
		return 0, err
	}
	return l.port.Read(p)
}

func (l *serialLink) isClosing() bool {
	select {
	case <-l.closing:
		return true
	default:
		return false
	}
}

func (l *serialLink) SetReadDeadline(t time.Time) error  { return setDeadline(&l.readBy, t) }
func (l *serialLink) SetWriteDeadline(t time.Time) error { return setDeadline(&l.writeBy, t) }
func (l *serialLink) String() string                     { return l.address }

// Baud is the rate of the line.
func (l *serialLink) Baud() int { return l.mode.BaudRate }

func setDeadline(to *atomic.Pointer[time.Time], t time.Time) error {
	if t.IsZero() {
		to.Store(nil)
		return nil
	}
	to.Store(&t)
	return nil
}

// noSuchLine says whether the line merely lacks what was asked of it, as a
// pseudo-terminal lacks modem lines.
func noSuchLine(err error) bool { return errors.Is(err, notATerminal) }

// serialReason says in words what the errors of opening mean.
func serialReason(err error) error {
	var portError *serial.PortError
	if !errors.As(err, &portError) {
		if err == nil {
			return nil
		}
		return ports.Reason(err) // some come as the bare error number
	}
	switch portError.Code() {
	case serial.PortNotFound:
		return ports.NotFound(err)
	case serial.PortBusy:
		return fmt.Errorf("another program has it open: %w", err)
	case serial.PermissionDenied:
		return fmt.Errorf("this user may not open it; on Linux the user belongs in the group that owns the device: %w", err)
	case serial.InvalidSerialPort:
		return fmt.Errorf("it is no serial line: %w", err)
	case serial.InvalidSpeed, serial.InvalidDataBits, serial.InvalidParity, serial.InvalidStopBits:
		return fmt.Errorf("the line cannot be set so: %w", err)
	}
	return err
}
