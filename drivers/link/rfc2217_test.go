package link

import (
	"bytes"
	"context"
	"encoding/hex"
	"errors"
	"io"
	"net"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/model/device"
)

func bytesOn(t testing.TB, text string) []byte {
	t.Helper()
	p, err := hex.DecodeString(strings.ReplaceAll(text, " ", ""))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// RFC 2217, section 3, with the telnet codes of RFC 854: values are written out,
// the baud rate in four bytes.
func TestSettingsOfALine(t *testing.T) {
	for _, c := range []struct {
		framing device.Serial
		want    []string
	}{
		{device.Serial{}, []string{"FF FA 2C 01 00 00 25 80 FF F0", "FF FA 2C 02 08 FF F0", "FF FA 2C 03 01 FF F0", "FF FA 2C 04 01 FF F0", "FF FA 2C 05 01 FF F0"}},
		{device.Serial{Baud: 31250, DataBits: 7, Parity: "even", StopBits: 2}, []string{"FF FA 2C 01 00 00 7A 12 FF F0", "FF FA 2C 02 07 FF F0", "FF FA 2C 03 03 FF F0", "FF FA 2C 04 02 FF F0", "FF FA 2C 05 01 FF F0"}},
		{device.Serial{Baud: 115200, Parity: "odd", Flow: "software"}, []string{"FF FA 2C 01 00 01 C2 00 FF F0", "FF FA 2C 02 08 FF F0", "FF FA 2C 03 02 FF F0", "FF FA 2C 04 01 FF F0", "FF FA 2C 05 02 FF F0"}},
		{device.Serial{Flow: "hardware"}, []string{"FF FA 2C 01 00 00 25 80 FF F0", "FF FA 2C 02 08 FF F0", "FF FA 2C 03 01 FF F0", "FF FA 2C 04 01 FF F0", "FF FA 2C 05 03 FF F0"}},
		// 255 in a value is doubled.
		{device.Serial{Baud: 0xFF00}, []string{"FF FA 2C 01 00 00 FF FF 00 FF F0"}},
	} {
		for i, s := range settings(c.framing, device.Serial{}) {
			if i < len(c.want) && !bytes.Equal(subnegotiation(s.code, s.value...), bytesOn(t, c.want[i])) {
				t.Errorf("%s of %+v is % X, not %s", s.name, c.framing, subnegotiation(s.code, s.value...), c.want[i])
			}
		}
	}
}

func TestTelnetStream(t *testing.T) {
	for _, c := range []struct{ rule, stream, data, commands string }{
		{"RFC 854: 255 as data is doubled", "01 FF FF 02", "01 FF 02", ""},
		{"RFC 854: DO, WILL, DONT, WONT have an option", "FF FD 2C 41 FF FB 00 FF FE 01 FF FC 03", "41", "FD2C FB00 FE01 FC03"},
		{"RFC 854: no operation has none", "41 FF F1 42", "41 42", ""},
		{"RFC 2217: the server says 9600", "FF FA 2C 65 00 00 25 80 FF F0 41", "41", "FA2C6500002580"},
		{"RFC 2217: 255 inside is doubled", "FF FA 2C 65 00 00 FF FF 00 FF F0", "", "FA2C650000FF00"},
		{"an end that is none", "F0 41", "F0 41", ""},
	} {
		for _, size := range []int{1, 2, 100} {
			var s telnetStream
			var data []byte
			var commands []string
			for piece := range slices.Chunk(bytesOn(t, c.stream), size) {
				d, more := s.take(piece)
				data = append(data, d...)
				for _, m := range more {
					commands = append(commands, strings.ToUpper(hex.EncodeToString(append([]byte{m.verb, m.option}, m.sub...))))
				}
			}
			if !bytes.Equal(data, bytesOn(t, c.data)) || strings.Join(commands, " ") != c.commands {
				t.Errorf("%s, %d bytes at a time: % X and %v", c.rule, size, data, commands)
			}
		}
	}
}

// Whatever comes, taking it apart ends; and what is written comes out as it was.
func FuzzTelnet(f *testing.F) {
	f.Add([]byte("\xFF\xFA\x2C\x65\x00\x00\x25\x80\xFF\xF0A\xFF\xFF\xFF\xFD\x2C"))
	f.Fuzz(func(t *testing.T, p []byte) {
		var s telnetStream
		data, commands := s.take(p)
		if len(data)+len(commands) > len(p) || len(s.command.sub) > maxSub {
			t.Fatalf("% X became % X and %d commands", p, data, len(commands))
		}
		s = telnetStream{}
		if data, commands := s.take(telnetData(p)); !bytes.Equal(data, p) || commands != nil {
			t.Fatalf("% X came out as % X", p, data)
		}
	})
}

// farEnd plays a server: it expects bytes and says others.
func farEnd(t *testing.T, conn net.Conn, turns ...string) {
	for i := 0; i+1 < len(turns); i += 2 {
		want := bytesOn(t, turns[i])
		got := make([]byte, len(want))
		if _, err := io.ReadFull(conn, got); err != nil || !bytes.Equal(got, want) {
			t.Errorf("it received % X, %v, not % X", got, err, want)
		}
		if turns[i+1] == "" {
			continue
		}
		if _, err := conn.Write(bytesOn(t, turns[i+1])); err != nil {
			t.Error(err)
		}
	}
}

const offered = "FF FB 2C FF FB 00 FF FD 00 FF FB 03 FF FD 03"

func TestAgreement(t *testing.T) {
	agreed := []string{
		offered, "FF FD 2C FF FD 00 FF FB 00",
		"FF FA 2C 01 00 00 25 80 FF F0", "FF FA 2C 65 00 00 25 80 FF F0",
		"FF FA 2C 02 08 FF F0", "FF FA 2C 66 08 FF F0",
		"FF FA 2C 03 01 FF F0", "FF FA 2C 67 01 FF F0",
		"FF FA 2C 04 01 FF F0", "FF FA 2C 68 01 FF F0",
		"FF FA 2C 05 01 FF F0", "FF FA 2C 69 01 FF F0",
		"FF FA 2C 0C 03 FF F0", "",
	}
	for _, c := range []struct {
		name, want string
		turns      []string
	}{
		{"all is well", "", agreed},
		{"an option that nobody needs is declined", "", append([]string{offered, "FF FD 18 FF FB 01 FF FD 2C FF FD 00 FF FB 00", "FF FC 18 FF FE 01", ""}, agreed[2:]...)},
		{"no com port control", "does not control its serial line", []string{offered, "FF FE 2C FF FD 00 FF FB 00"}},
		{"not all bytes", "does not carry all bytes", []string{offered, "FF FD 2C FF FE 00"}},
		{"another speed", "set the baud rate to 19200, not 9600", []string{offered, agreed[1], agreed[2], "FF FA 2C 65 00 00 4B 00 FF F0"}},
		{"no word about the speed", "does not answer about the setting of the baud rate", []string{offered, agreed[1], agreed[2], ""}},
		{"no telnet at all", "is it a plain TCP port", []string{offered, "48 65 6C 6C 6F 0A"}},
	} {
		synctest.Test(t, func(t *testing.T) {
			near, far := net.Pipe()
			defer far.Close()
			done := make(chan struct{})
			go func() { defer close(done); farEnd(t, far, c.turns...) }()
			port := newComPort(near, "rfc2217:far:2217")
			defer port.Close()
			ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
			defer cancel()
			stop := context.AfterFunc(ctx, func() { near.SetDeadline(time.Now()) })
			defer stop()
			err := port.agree(device.Serial{}, device.Serial{})
			if (c.want == "") != (err == nil) || err != nil && !strings.Contains(err.Error(), c.want) {
				t.Errorf("%s: %v, want %q", c.name, err, c.want)
			}
			<-done
		})
	}
}

// RFC 2217, section 3: FLOWCONTROL-SUSPEND and -RESUME come from the server as
// 108 and 109.
func TestHeld(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		near, far := net.Pipe()
		port := newComPort(near, "rfc2217:far:2217")
		defer port.Close()
		port.told(108, nil)
		if err := port.SetWriteDeadline(time.Now().Add(time.Second)); err != nil {
			t.Fatal(err)
		}
		if n, err := port.Write([]byte("x")); n != 0 || !errors.Is(err, os.ErrDeadlineExceeded) {
			t.Errorf("while held it wrote %d, %v", n, err)
		}
		if err := port.SetWriteDeadline(time.Time{}); err != nil {
			t.Fatal(err)
		}
		go func() { time.Sleep(time.Second); port.told(109, nil) }() // of the bubble's clock
		go io.Copy(io.Discard, far)
		if n, err := port.Write([]byte("x\xFF")); n != 2 || err != nil {
			t.Errorf("when it may it wrote %d, %v", n, err)
		}
		far.Close()
		if _, err := port.Read(make([]byte, 1)); !errors.Is(err, ErrGone) {
			t.Errorf("the far end went as %v", err)
		}
	})
}
