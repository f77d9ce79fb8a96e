package line

import (
	"bytes"
	"context"
	"encoding/hex"
	"io"
	"log/slog"
	"net"
	"strings"
	"testing"

	"bayhand/model/device"
)

func telnet(t *testing.T, text string) []byte {
	t.Helper()
	p, err := hex.DecodeString(strings.ReplaceAll(text, " ", ""))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// once is a connection that brings some bytes and keeps what is written.
type once struct {
	io.Reader
	bytes.Buffer
}

func (o *once) Read(p []byte) (int, error) { return o.Reader.Read(p) }
func (o *once) Close() error               { return nil }

// RFC 2217, sections 2 and 3; RFC 854 and 855 for the telnet around it. The bytes
// for 9600 baud, eight bits, no parity, one stop bit and DTR are written out from
// the tables there.
func TestNetSerialAnswers(t *testing.T) {
	for name, test := range map[string]struct{ sent, answered, heard string }{
		"the option is agreed to":                {"FF FB 2C", "FF FD 2C", ""},
		"once":                                   {"FF FB 2C FF FB 2C", "FF FD 2C", ""},
		"binary both ways":                       {"FF FB 00 FF FD 00", "FF FD 00 FF FB 00", ""},
		"what is not known is refused":           {"FF FB 18 FF FD 18", "FF FE 18 FF FC 18", ""},
		"what was never on needs no end":         {"FF FC 18 FF FE 18", "", ""},
		"what was on ends":                       {"FF FD 03 FF FE 03", "FF FB 03 FF FC 03", ""},
		"9600 baud":                              {"FF FA 2C 01 00 00 25 80 FF F0", "FF FA 2C 65 00 00 25 80 FF F0", ""},
		"the baud rate is asked for":             {"FF FA 2C 01 00 00 00 00 FF F0", "FF FA 2C 65 00 00 25 80 FF F0", ""},
		"eight bits, no parity, one stop bit":    {"FF FA 2C 02 08 FF F0 FF FA 2C 03 01 FF F0 FF FA 2C 04 01 FF F0", "FF FA 2C 66 08 FF F0 FF FA 2C 67 01 FF F0 FF FA 2C 68 01 FF F0", ""},
		"even parity, then asked for":            {"FF FA 2C 03 03 FF F0 FF FA 2C 03 00 FF F0", "FF FA 2C 67 03 FF F0 FF FA 2C 67 03 FF F0", ""},
		"DTR on, and is it":                      {"FF FA 2C 05 08 FF F0 FF FA 2C 05 07 FF F0", "FF FA 2C 69 08 FF F0 FF FA 2C 69 08 FF F0", ""},
		"an IAC in a value is doubled":           {"FF FA 2C 0A FF FF FF F0", "FF FA 2C 6E FF FF FF F0", ""},
		"data around a command":                  {"41 FF FB 2C 42", "FF FD 2C", "41 42"},
		"an IAC in the data":                     {"41 FF FF 42", "", "41 FF 42"},
		"a subnegotiation of another option":     {"FF FA 18 01 FF F0 41", "", "41"},
		"no answer to suspend and resume":        {"FF FA 2C 08 FF F0 FF FA 2C 09 FF F0", "", ""},
		"a value of the wrong length is let be":  {"FF FA 2C 01 25 80 FF F0 41", "", "41"},
		"a go-ahead and other commands are none": {"FF F9 41 FF F1 42", "", "41 42"},
	} {
		conn := &once{Reader: byteByByte(telnet(t, test.sent))}
		n := newNetSerial(conn, &device.Description{Serial: device.Serial{Baud: 9600}}, slog.New(slog.DiscardHandler))
		heard, err := io.ReadAll(n)
		if err != nil || !bytes.Equal(heard, telnet(t, test.heard)) {
			t.Errorf("%s: % X was heard, %v; want %s", name, heard, err, test.heard)
		}
		if !bytes.Equal(conn.Bytes(), telnet(t, test.answered)) {
			t.Errorf("%s: answered % X, want %s", name, conn.Bytes(), test.answered)
		}
	}
}

// byteByByte brings one byte a read.
func byteByByte(p []byte) io.Reader { return &oneByte{p} }

type oneByte struct{ rest []byte }

func (o *oneByte) Read(p []byte) (int, error) {
	if len(o.rest) == 0 {
		return 0, io.EOF
	}
	p[0], o.rest = o.rest[0], o.rest[1:]
	return 1, nil
}

// A device hears noise as long as the line does not run at its rate, and what it
// says is none the better.
func TestNetSerialAtTheWrongRate(t *testing.T) {
	conn := &once{Reader: bytes.NewReader(telnet(t, "41 FF FA 2C 01 00 00 96 00 FF F0 41"))}
	n := newNetSerial(conn, &device.Description{Serial: device.Serial{Baud: 9600}}, slog.New(slog.DiscardHandler))
	heard, err := io.ReadAll(n)
	if err != nil || len(heard) != 2 || heard[0] != 'A' || heard[1] == 'A' {
		t.Errorf("%q was heard, %v", heard, err)
	}
	conn.Reset()
	if _, err := n.Write([]byte("A")); err != nil || conn.String() == "A" {
		t.Errorf("it says %q, %v", conn.String(), err)
	}
}

// A whole conversation, with telnet only where RFC 2217 has it.
func TestServeRFC2217(t *testing.T) {
	o := Options{Description: switcher(), Inputs: 4, Outputs: 4, Listen: "rfc2217:127.0.0.1:0"}
	where := serve(t, o)
	conn, err := new(net.Dialer).DialContext(context.Background(), "tcp", strings.TrimPrefix(where, "rfc2217:"))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if _, err := conn.Write(append(telnet(t, "FF FB 2C"), "ROUT:CLOS (@1!2);*OPC?\n"...)); err != nil {
		t.Fatal(err)
	}
	want := append(telnet(t, "FF FD 2C"), "1\n"...)
	got := make([]byte, len(want))
	if _, err := io.ReadFull(conn, got); err != nil || !bytes.Equal(got, want) {
		t.Errorf("%q came, %v, want %q", got, err, want)
	}
}

// Whatever comes, the stream goes on, and no command's byte is heard as data twice.
func FuzzNetSerial(f *testing.F) {
	f.Add([]byte("A\xFF\xFB\x2CB\xFF\xFA\x2C\x01\x00\x00\x25\x80\xFF\xF0"))
	f.Add([]byte("\xFF\xFF\xFF\xFA\x2C\x02\xFF\xFF\xFF\xF0\xFF"))
	f.Fuzz(func(t *testing.T, stream []byte) {
		conn := &once{Reader: bytes.NewReader(stream)}
		n := newNetSerial(conn, &device.Description{}, slog.New(slog.DiscardHandler))
		heard, err := io.ReadAll(n)
		if err != nil || len(heard) > len(stream) {
			t.Errorf("%d bytes heard of %d, %v", len(heard), len(stream), err)
		}
		if len(n.sub) > longestSub {
			t.Errorf("%d bytes of a subnegotiation are kept", len(n.sub))
		}
	})
}
