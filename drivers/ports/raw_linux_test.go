package ports

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/creack/pty"
	"github.com/google/go-cmp/cmp"
	"gitlab.com/gomidi/midi/v2/drivers"
	"golang.org/x/sys/unix"

	"bayhand/simulators/leaks"
)

func TestMain(m *testing.M) { leaks.TestMain(m) }

// withDevice is a root with one raw device, whose cable's end is what is returned.
func withDevice(t *testing.T) (root string, cable *os.File) {
	t.Helper()
	blocking, slave, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	if err := MakeRaw(slave); err != nil {
		t.Fatal(err)
	}
	root = t.TempDir()
	for file, text := range map[string]string{"dev/snd/x": "", "proc/asound/card1/midi0": "USB MIDI interface\n\nOutput 0\n"} {
		if err := os.MkdirAll(filepath.Join(root, filepath.Dir(file)), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(root, file), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(slave.Name(), filepath.Join(root, "dev/snd/midiC1D0")); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { blocking.Close(); slave.Close() })
	return root, blocking
}

func opened[P drivers.Port](t *testing.T, all []P, err error) P {
	t.Helper()
	if err != nil || len(all) != 1 {
		t.Fatalf("the ports are %v, %v", all, err)
	}
	if all[0].String() != "USB MIDI interface" {
		t.Errorf("it is called %q", all[0])
	}
	for range 2 { // the second time nothing is left to do
		if err := all[0].Open(); err != nil || !all[0].IsOpen() {
			t.Fatal(err)
		}
	}
	return all[0]
}

// MIDI 1.0: running status, a real-time byte in the midst of a message, clock and
// active sensing that nobody asked for, system exclusives.
func TestRawPortIsHeard(t *testing.T) {
	const stream = "\xB2\x00\x02\x20\xF8\x2C\xFE\xC2\x04\xFA\xF1\x01\xF0\x7D\x01\xF7\xF0\x7D\x01\x02\xF7\xFC"
	for _, test := range []struct {
		config drivers.ListenConfig
		want   []string
	}{
		{drivers.ListenConfig{}, []string{"\xB2\x00\x02", "\xB2\x20\x2C", "\xC2\x04", "\xFA", "\xFC"}},
		{drivers.ListenConfig{SysEx: true, SysExBufferSize: 4}, []string{"\xB2\x00\x02", "\xB2\x20\x2C", "\xC2\x04", "\xFA", "\xF0\x7D\x01\xF7", "\xFC"}},
		{drivers.ListenConfig{SysEx: true, TimeCode: true, ActiveSense: true},
			[]string{"\xB2\x00\x02", "\xF8", "\xB2\x20\x2C", "\xFE", "\xC2\x04", "\xFA", "\xF1\x01", "\xF0\x7D\x01\xF7", "\xF0\x7D\x01\x02\xF7", "\xFC"}},
	} {
		root, cable := withDevice(t)
		ins, err := Raw{Root: root}.Ins()
		in := opened(t, ins, err)
		heard := make(chan string, 100)
		stop, err := in.Listen(func(message []byte, _ int32) { heard <- string(message) }, test.config)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := in.Listen(func([]byte, int32) {}, test.config); err == nil {
			t.Error("two may listen to one port")
		}
		if _, err := cable.WriteString(stream); err != nil {
			t.Fatal(err)
		}
		var got []string
		for range test.want {
			got = append(got, <-heard)
		}
		stop()
		if diff := cmp.Diff(test.want, got); diff != "" || len(heard) > 0 {
			t.Errorf("%+v: -want +heard, and %d more\n%s", test.config, len(heard), diff)
		}
		if err := errors.Join(in.Close(), in.Close()); err != nil || in.IsOpen() {
			t.Error(err)
		}
	}
}

func TestRawPortSends(t *testing.T) {
	root, cable := withDevice(t)
	outs, err := Raw{Root: root}.Outs()
	out := opened(t, outs, err)
	if err := out.Send([]byte("\xC2\x04")); err != nil {
		t.Fatal(err)
	}
	got := make([]byte, 10)
	if n, err := cable.Read(got); err != nil || string(got[:n]) != "\xC2\x04" {
		t.Errorf("% X came, %v", got[:n], err)
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
	if err := out.Send([]byte("\xC2\x04")); !errors.Is(err, drivers.ErrPortClosed) {
		t.Errorf("a send to a port that is closed: %v", err)
	}
}

// The device is pulled while it is listened to: OnErr hears of it.
func TestRawPortIsPulled(t *testing.T) {
	root, cable := withDevice(t)
	ins, err := Raw{Root: root}.Ins()
	in := opened(t, ins, err)
	outs, err := Raw{Root: root}.Outs()
	out := opened(t, outs, err)
	gone := make(chan error, 1)
	stop, err := in.Listen(func([]byte, int32) {}, drivers.ListenConfig{OnErr: func(err error) { gone <- err }})
	if err != nil {
		t.Fatal(err)
	}
	cable.Close()
	if err := <-gone; !errors.Is(err, ErrGone) {
		t.Errorf("it was told %v", err)
	}
	stop()
	if err := out.Send([]byte("\xC2\x04")); !errors.Is(err, ErrGone) {
		t.Errorf("a send to a device that is gone: %v", err)
	}
	if err := errors.Join(in.Close(), out.Close()); err != nil {
		t.Error(err)
	}
}

func TestRawPortThatIsNone(t *testing.T) {
	in := RawIn("/dev/no/such/device")
	if err := in.Open(); !errors.Is(err, fs.ErrNotExist) || !strings.Contains(err.Error(), "not found") {
		t.Errorf("%v", err)
	}
	if _, err := in.Listen(func([]byte, int32) {}, drivers.ListenConfig{}); !errors.Is(err, drivers.ErrPortClosed) {
		t.Errorf("%v", err)
	}
	if err := in.Close(); err != nil {
		t.Error(err)
	}
	fifo := filepath.Join(t.TempDir(), "to")
	if err := unix.Mkfifo(fifo, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := RawOut(fifo).Open(); err == nil || !strings.Contains(err.Error(), "nobody is at the other end") {
		t.Errorf("a FIFO that nobody reads: %v", err)
	}
}

// The library's own way to a port leads to ours as well.
func TestRawPortsInTheRegister(t *testing.T) {
	if Driver() != drivers.Get() {
		t.Errorf("the register has %v, and ports are found by %v", drivers.Get(), Driver())
	}
	if _, err := In("no such port at all"); err == nil || !strings.Contains(err.Error(), "no such port at all") {
		t.Errorf("%v", err)
	}
	if _, err := Out("no such port at all"); err == nil || !strings.Contains(err.Error(), "no such port at all") {
		t.Errorf("%v", err)
	}
}
