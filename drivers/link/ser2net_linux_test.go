package link

import (
	"context"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"
	"golang.org/x/term"

	"bayhand/simulators/loopback"
)

// ser2net is a general-purpose server of serial lines over the network, with
// com port control by RFC 2217: the far end of this test is none of ours.
func ser2net(t *testing.T, accepter, line string, options ...string) (address string) {
	t.Helper()
	path, err := exec.LookPath("ser2net")
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatal("BAYHAND_PEERS requires ser2net, and it is not installed")
		}
		t.Skip("ser2net is not installed")
	}
	if address, err = loopback.Free(); err != nil {
		t.Fatal(err)
	}
	host, port, _ := net.SplitHostPort(address)
	config := filepath.Join(t.TempDir(), "ser2net.yaml")
	about := fmt.Sprintf("connection: &line\n  accepter: %s,tcp,%s,%s\n  connector: serialdev,%s,9600n81,local\n", accepter, host, port, line)
	if len(options) > 0 {
		about += "  options:\n    " + strings.Join(options, "\n    ") + "\n"
	}
	if err := os.WriteFile(config, []byte(about), 0o600); err != nil {
		t.Fatal(err)
	}
	command := exec.Command(path, "-n", "-d", "-u", "-c", config)
	diary := &strings.Builder{}
	command.Stdout, command.Stderr = diary, diary
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		command.Process.Kill() // it may have ended by itself
		command.Wait()
		if t.Failed() {
			t.Log(diary)
		}
	})
	return address
}

// openSoon opens an address once somebody listens there.
func openSoon(t *testing.T, address string) (Link, error) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	tick := time.NewTicker(50 * time.Millisecond)
	defer tick.Stop()
	for {
		l, err := Open(ctx, address, Options{})
		if err == nil || !strings.Contains(err.Error(), "refused") {
			return l, err
		}
		select {
		case <-tick.C:
		case <-ctx.Done():
			t.Fatal(err)
		}
	}
}

func TestSer2net(t *testing.T) {
	device, line, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer device.Close()
	defer line.Close()
	if _, err := term.MakeRaw(int(line.Fd())); err != nil {
		t.Fatal(err)
	}
	address := ser2net(t, "telnet(rfc2217)", line.Name())
	l, err := openSoon(t, "rfc2217:"+address+"?baud=38400&stop=2")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	attributes, err := unix.IoctlGetTermios(int(line.Fd()), unix.TCGETS2)
	if err != nil {
		t.Fatal(err)
	}
	// A pseudo-terminal keeps the speed and the stop bits; parity and data bits it
	// has none of.
	if attributes.Ospeed != 38400 || attributes.Cflag&unix.CSTOPB == 0 {
		t.Errorf("the line was set to %d baud, flags %o", attributes.Ospeed, attributes.Cflag)
	}
	// Every byte arrives as it is, FF and CR among them.
	all := make([]byte, 256)
	for i := range all {
		all[i] = byte(i)
	}
	if _, err := l.Write(all); err != nil {
		t.Fatal(err)
	}
	if got := readAll(t, device, len(all)); string(got) != string(all) {
		t.Errorf("the device received % X", got)
	}
	if _, err := device.Write(all); err != nil {
		t.Fatal(err)
	}
	if got := readAll(t, l, len(all)); string(got) != string(all) {
		t.Errorf("the device's bytes came as % X", got)
	}
}

func readAll(t *testing.T, from interface{ Read([]byte) (int, error) }, want int) []byte {
	t.Helper()
	if d, ok := from.(interface{ SetReadDeadline(time.Time) error }); ok {
		_ = d.SetReadDeadline(time.Now().Add(time.Minute)) // a terminal may have none
	}
	var got []byte
	for len(got) < want {
		p := make([]byte, want)
		n, err := from.Read(p)
		if err != nil {
			t.Fatalf("after %d bytes: %v", len(got), err)
		}
		got = append(got, p[:n]...)
	}
	return got
}

// A port without com port control is not taken for one that has it.
func TestSer2netPlain(t *testing.T) {
	device, line, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer device.Close()
	defer line.Close()
	address := ser2net(t, "telnet", line.Name())
	if l, err := openSoon(t, "rfc2217:"+address); err == nil || !strings.Contains(err.Error(), "RFC 2217") {
		t.Errorf("opened as %v, %v", l, err)
	}
}
