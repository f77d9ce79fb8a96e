package conformance_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/creack/pty"
	"golang.org/x/term"

	"bayhand/drivers/link"
	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/simulators/line"
	simulated "bayhand/simulators/matrix"
)

// usbMachine is a folder laid out as the kernel lays out what it says of its lines
// (sysfs), into which one USB serial adapter is plugged under a name.
type usbMachine struct {
	t    *testing.T
	root string
}

const usbAddress = "serial:usb:0403:6001:AB12"

// usbCable is the far end of the adapter's cable. The near end is held open as well:
// the far one would end whenever nobody else has it open.
type usbCable struct {
	*os.File
	near *os.File
}

func (c usbCable) Close() error { return errors.Join(c.File.Close(), c.near.Close()) }

// plug puts the adapter in: the kernel calls it name.
func (u usbMachine) plug(name string) usbCable {
	u.t.Helper()
	blocking, near, err := pty.Open()
	if err != nil {
		u.t.Fatal(err)
	}
	if _, err := term.MakeRaw(int(near.Fd())); err != nil {
		u.t.Fatal(err)
	}
	hardware := filepath.Join(u.root, "sys/devices/usb1/1-2")
	for file, text := range map[string]string{"idVendor": "0403", "idProduct": "6001", "serial": "AB12", "1-2:1.0/" + name + "/x": ""} {
		u.write(filepath.Join(hardware, file), text)
	}
	u.link(filepath.Join(hardware, "1-2:1.0", name), filepath.Join(u.root, "sys/class/tty", name, "device"))
	u.link(near.Name(), filepath.Join(u.root, "dev", name))
	return usbCable{pollable(u.t, blocking), near}
}

// unplug takes it out.
func (u usbMachine) unplug(name string, cable usbCable) {
	u.t.Helper()
	cable.Close()
	for _, path := range []string{"sys/devices/usb1", "sys/class/tty/" + name, "dev/" + name} {
		if err := os.RemoveAll(filepath.Join(u.root, path)); err != nil {
			u.t.Fatal(err)
		}
	}
}

func (u usbMachine) write(file, text string) {
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		u.t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		u.t.Fatal(err)
	}
}

func (u usbMachine) link(to, at string) {
	if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
		u.t.Fatal(err)
	}
	if err := os.Symlink(to, at); err != nil {
		u.t.Fatal(err)
	}
}

// The adapter is pulled in the middle of a push, and comes back as another line: the
// same address finds it there, and what the device did meanwhile is read.
func TestReplugged(t *testing.T) {
	for _, d := range shipped(t) {
		if !slices.Contains(d.Links, device.SerialLink) {
			continue
		}
		t.Run(d.Name, func(t *testing.T) {
			t.Parallel()
			replugged(t, d)
		})
	}
}

func replugged(t *testing.T, d *device.Description) {
	inputs, outputs := size(d, 12)
	r := newRig(t, d, inputs, outputs, simulated.Faults{})
	usb := usbMachine{t, t.TempDir()}
	ctx := context.Background()
	open := func() (link.Link, error) {
		return link.Open(ctx, usbAddress, link.Options{Serial: d.Serial, Kinds: d.Links, Root: usb.root})
	}
	if _, err := open(); err == nil {
		t.Fatal("nothing is plugged in, and it was opened")
	}

	// The device is at the end of the cable until it is pulled, after the first
	// message that changes something.
	cable := usb.plug("ttyUSB0")
	talk := r.talk(ctx, cable)
	l, err := open()
	if err != nil {
		t.Fatal(err)
	}
	m := r.drive(l)
	changed, unwatch := r.state.Watch()
	pulled, over := make(chan bool), make(chan bool)
	go func() {
		defer close(pulled)
		select {
		case <-changed:
		case <-over:
		}
		usb.unplug("ttyUSB0", cable)
	}()
	target := patches(r)["1 straight through"]
	err = m.Switch(ctx, nil, target)
	close(over)
	<-pulled
	unwatch()
	if err == nil {
		_, err = m.Read(ctx) // the push was done when it was pulled
	}
	if !errors.Is(err, matrix.ErrGone) {
		t.Errorf("the line was pulled, and it says %v", err)
	}
	if err := errors.Join(m.Close(), talk()); err != nil {
		t.Error(err)
	}

	// Back in another socket, where the kernel gives it another name.
	cable = usb.plug("ttyUSB1")
	talk = r.talk(ctx, cable)
	if l, err = open(); err != nil {
		t.Fatal(err)
	}
	m = r.drive(l)
	read(t, m, r.have())
	without, with := to(r.have(), target)
	if err := m.Switch(ctx, without, with); err != nil {
		t.Error(err)
	}
	read(t, m, target)
	usb.unplug("ttyUSB1", cable)
	if err := errors.Join(m.Close(), talk()); err != nil {
		t.Error(err)
	}
}

// talk has the simulated device at the end of a cable; what is returned waits for
// its end.
func (r *rig) talk(ctx context.Context, cable usbCable) (ended func() error) {
	done := make(chan error, 1)
	go func() { done <- line.Talk(ctx, r.o, cable) }()
	return func() error { return <-done }
}
