package link

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"
	"golang.org/x/term"

	"bayhand/model/device"
)

func TestPTY(t *testing.T) {
	path := filepath.Join(t.TempDir(), "grid")
	l := mustOpen(t, "pty:"+path)
	for _, kind := range []string{"serial:", "rawmidi:", "serial:"} {
		peer := mustOpen(t, kind+path)
		exchange(t, l, peer)
		deadline(t, l)
		deadline(t, peer)
		closing(t, peer)
	}
	closing(t, l)
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the link is still at %s: %v", path, err)
	}
}

// A simulator's pseudo-terminal at the path is not taken from it: serial: leads there.
func TestPTYLeavesAnotherPTYAlone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "grid")
	simulator := mustOpen(t, "pty:"+path)
	if l, err := Open(t.Context(), "pty:"+path, Options{}); err == nil || !strings.Contains(err.Error(), "write serial:"+path) {
		t.Errorf("opened: %v, %v", l, err)
	}
	exchange(t, simulator, mustOpen(t, "serial:"+path))
}

func TestPTYLeavesOthersAlone(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "file")
	if err := os.WriteFile(file, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	elsewhere := filepath.Join(folder, "elsewhere")
	if err := os.Symlink(file, elsewhere); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{file, elsewhere, folder} {
		if l, err := Open(t.Context(), "pty:"+path, Options{}); err == nil || !strings.Contains(err.Error(), "left alone") {
			t.Errorf("%s was opened: %v, %v", path, l, err)
		}
	}
	if text, err := os.ReadFile(file); string(text) != "mine" || err != nil {
		t.Errorf("the file holds %q, %v", text, err)
	}
	if _, err := Open(t.Context(), "pty:"+filepath.Join(folder, "no", "folder"), Options{}); err == nil {
		t.Error("a link was made in a folder that does not exist")
	}

	stale := filepath.Join(folder, "stale")
	if err := os.Symlink("/dev/pts/99999", stale); err != nil {
		t.Fatal(err)
	}
	l := mustOpen(t, "pty:"+stale)
	exchange(t, l, mustOpen(t, "rawmidi:"+stale))
	// Somebody else's by the time of closing: it stays.
	if err := errors.Join(os.Remove(stale), os.Symlink("/dev/pts/99998", stale)); err != nil {
		t.Fatal(err)
	}
	closing(t, l)
	if now, err := os.Readlink(stale); now != "/dev/pts/99998" {
		t.Errorf("the link was taken away: %q, %v", now, err)
	}
}

func pair(t *testing.T) (master, slave *os.File) {
	t.Helper()
	master, slave, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := term.MakeRaw(int(slave.Fd())); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { master.Close(); slave.Close() })
	return master, slave
}

// The master's end is closed as a USB adapter is pulled: the line hangs up.
func TestPulled(t *testing.T) {
	for _, kind := range []string{"serial:", "rawmidi:"} {
		master, slave := pair(t)
		l := mustOpen(t, kind+slave.Name())
		slave.Close()
		if _, err := master.Write([]byte("half")); err != nil {
			t.Fatal(err)
		}
		got := make([]byte, 10)
		if n, err := l.Read(got); err != nil || string(got[:n]) != "half" {
			t.Errorf("%s read %q, %v", kind, got[:n], err)
		}
		master.Close()
		gone(t, l)
		if n, err := l.Write([]byte("x")); !errors.Is(err, ErrGone) {
			t.Errorf("a write to a pulled %s gave %d, %v", kind, n, err)
		}
	}
}

// A far end that takes nothing: the write ends at its deadline, the next one
// too, and Close ends all of it.
func TestSerialFull(t *testing.T) {
	_, slave := pair(t)
	l := mustOpen(t, "serial:"+slave.Name())
	for range 2 {
		if err := l.SetWriteDeadline(time.Now().Add(50 * time.Millisecond)); err != nil {
			t.Fatal(err)
		}
		if _, err := l.Write(make([]byte, 1<<20)); !errors.Is(err, os.ErrDeadlineExceeded) {
			t.Fatalf("a write that nobody takes gave %v", err)
		}
	}
	closing(t, l)
	select {
	case <-l.(*serialLink).gone:
	default:
		t.Error("Close left the writer behind")
	}
}

func TestSerialSettings(t *testing.T) {
	_, slave := pair(t)
	l, err := Open(t.Context(), "serial:"+slave.Name()+"?baud=19200&data=7&parity=even&stop=2", Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	settings, err := termios(slave)
	if err != nil {
		t.Fatal(err)
	}
	if settings.Cflag&unix.CBAUD != unix.B19200 {
		t.Errorf("the line runs at %o, not at 19200 baud", settings.Cflag&unix.CBAUD)
	}
	if settings.Cflag&unix.CSTOPB == 0 {
		t.Error("it has one stop bit, not two")
	}
	if settings.Lflag&(unix.ECHO|unix.ICANON) != 0 || settings.Iflag&unix.ICRNL != 0 {
		t.Error("the line is not raw")
	}
}

// termios(3): CRTSCTS is flow control by RTS and CTS, IXON and IXOFF by XON and XOFF.
func TestSerialFlow(t *testing.T) {
	const software = unix.IXON | unix.IXOFF
	for flow, want := range map[string]struct{ control, input uint32 }{
		"none": {0, 0}, "hardware": {unix.CRTSCTS, 0}, "software": {0, software},
	} {
		_, slave := pair(t)
		l, err := Open(t.Context(), "serial:"+slave.Name(), Options{Serial: device.Serial{Flow: flow}})
		if err != nil {
			t.Fatal(err)
		}
		settings, err := termios(slave)
		if err != nil {
			t.Fatal(err)
		}
		if settings.Cflag&unix.CRTSCTS != want.control || settings.Iflag&software != want.input {
			t.Errorf("%s: the line has %o, %o", flow, settings.Cflag&unix.CRTSCTS, settings.Iflag&software)
		}
		closing(t, l)
	}
	if _, err := Parse("serial:/dev/ttyS0?flow=rts"); err == nil || !strings.Contains(err.Error(), "none, hardware (RTS and CTS) or software") {
		t.Errorf("%v", err)
	}
}

func TestFIFOs(t *testing.T) {
	folder := t.TempDir()
	from, to := filepath.Join(folder, "from"), filepath.Join(folder, "to")
	for _, path := range []string{from, to} {
		if err := syscall.Mkfifo(path, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	address := "rawmidi:" + from + "," + to
	if _, err := Open(t.Context(), address, Options{}); err == nil || !strings.Contains(err.Error(), "nobody is at the other end") {
		t.Errorf("with nobody at the other end: %v", err)
	}
	if _, err := Open(t.Context(), "rawmidi:"+from, Options{}); err == nil || !strings.Contains(err.Error(), "goes one way") {
		t.Errorf("one FIFO: %v", err)
	}
	in, err := os.OpenFile(to, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		t.Fatal(err)
	}
	out, err := os.OpenFile(from, os.O_RDWR, 0) // as the device writes it
	if err != nil {
		t.Fatal(err)
	}
	l := mustOpen(t, address)
	exchange(t, l, both{in, out})
	deadline(t, l)
	in.Close()
	out.Close()
	gone(t, l)
	if _, err := l.Write([]byte("x")); !errors.Is(err, ErrGone) {
		t.Errorf("a write with nobody to read gave %v", err)
	}
}

type both struct{ in, out *os.File }

func (b both) Read(p []byte) (int, error)        { return b.in.Read(p) }
func (b both) Write(p []byte) (int, error)       { return b.out.Write(p) }
func (b both) SetReadDeadline(t time.Time) error { return b.in.SetReadDeadline(t) }

func TestOpenWrongThings(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	for address, want := range map[string]string{
		"rawmidi:" + file:             "neither a device nor a FIFO",
		"rawmidi:" + file + ".none":   ": not found. Check the cable; `bayhand links` lists ports",
		"serial:" + file + ".none":    ": not found. Check the cable; `bayhand links` lists ports",
		"serial:" + file:              "no serial line",
		"serial:usb:ffff:ffff:nobody": "no such USB serial adapter",
	} {
		if l, err := Open(t.Context(), address, Options{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, %v, want it to say %q", address, l, err, want)
		}
	}
	if text, err := os.ReadFile(file); string(text) != "mine" || err != nil {
		t.Errorf("the file holds %q, %v", text, err)
	}
}
