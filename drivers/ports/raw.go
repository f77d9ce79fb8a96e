package ports

import (
	"cmp"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"
)

// Device is a raw MIDI device: its file, and what the machine calls it.
type Device struct {
	Path, Name string
}

// Raw is the driver of raw MIDI devices.
type Raw struct {
	// Root is the folder that the machine's files lie below; / if empty.
	Root string
}

func (r Raw) String() string { return "raw MIDI devices" }

// Close has nothing to do: ports are closed one by one.
func (r Raw) Close() error { return nil }

// Ins are the devices, as ports to hear.
func (r Raw) Ins() ([]drivers.In, error) {
	devices, err := r.devices()
	var ins []drivers.In
	for i, d := range devices {
		ins = append(ins, &rawIn{rawPort: rawPort{number: i, name: d.Name, path: d.Path, how: os.O_RDONLY}})
	}
	return ins, err
}

// Outs are the devices, as ports to send to.
func (r Raw) Outs() ([]drivers.Out, error) {
	devices, err := r.devices()
	var outs []drivers.Out
	for i, d := range devices {
		outs = append(outs, &rawOut{rawPort{number: i, name: d.Name, path: d.Path, how: os.O_WRONLY}})
	}
	return outs, err
}

func (r Raw) devices() ([]Device, error) {
	if !Lists {
		return nil, fmt.Errorf("MIDI ports by name: %w: there is no way to the ports of this system yet", ErrNotHere)
	}
	devices, err := Devices(cmp.Or(r.Root, "/"))
	slices.SortFunc(devices, func(a, b Device) int {
		return cmp.Or(cmp.Compare(len(a.Path), len(b.Path)), strings.Compare(a.Path, b.Path))
	})
	return devices, err
}

// RawIn is the port to hear what comes from the device at a path: a raw MIDI
// device, a pseudo-terminal or a FIFO.
func RawIn(path string) drivers.In {
	return &rawIn{rawPort: rawPort{number: -1, name: path, path: path, how: os.O_RDONLY}}
}

// RawOut is the port to send to the device at a path.
func RawOut(path string) drivers.Out {
	return &rawOut{rawPort{number: -1, name: path, path: path, how: os.O_WRONLY}}
}

// rawPort is what both ways have in common. Like every port of the interface it
// is not for several goroutines at once.
type rawPort struct {
	number     int
	name, path string
	how        int
	file       *os.File
}

func (p *rawPort) String() string  { return p.name }
func (p *rawPort) Number() int     { return p.number }
func (p *rawPort) IsOpen() bool    { return p.file != nil }
func (p *rawPort) Underlying() any { return p.path }

// Open opens the device; one that is open stays so.
func (p *rawPort) Open() error {
	if p.file != nil {
		return nil
	}
	file, err := OpenDevice(p.path, p.how)
	if err != nil {
		return err
	}
	if err := MakeRaw(file); err != nil {
		file.Close()
		return err
	}
	p.file = file
	return nil
}

// Close closes the device; one that is closed stays so.
func (p *rawPort) Close() error {
	if p.file == nil {
		return nil
	}
	err := p.file.Close()
	p.file = nil
	return err
}

// rawOut is a raw device to send to.
type rawOut struct{ rawPort }

// Send writes whole messages, and returns when the kernel has them.
func (o *rawOut) Send(message []byte) error {
	if o.file == nil {
		return drivers.ErrPortClosed
	}
	if _, err := o.file.Write(message); err != nil {
		return ended(err)
	}
	return nil
}

// SetWriteDeadline bounds the Sends that come after.
func (o *rawOut) SetWriteDeadline(t time.Time) error {
	if o.file == nil {
		return drivers.ErrPortClosed
	}
	return o.file.SetWriteDeadline(t)
}
