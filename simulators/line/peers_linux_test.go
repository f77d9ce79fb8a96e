package line

import (
	"bufio"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bayhand/simulators/matrix"
)

// peer starts a program from outside as the other end of a line. Without the
// program the test is skipped, unless BAYHAND_PEERS is require.
func peer(t *testing.T, name string, args ...string) (to io.Writer, from *bufio.Reader, leave func()) {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatalf("%s is missing, and BAYHAND_PEERS requires it", name)
		}
		t.Skipf("%s is missing", name)
	}
	c := exec.Command(path, args...)
	in, err := c.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	c.Stderr = t.Output()
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	left := false
	leave = func() {
		if left {
			return
		}
		left = true
		in.Close()
		io.Copy(io.Discard, out)
		if err := c.Wait(); err != nil {
			t.Errorf("%s ends with %v", name, err)
		}
	}
	t.Cleanup(leave)
	return in, bufio.NewReader(out), leave
}

// talk sends lines and compares the answers.
func talk(t *testing.T, to io.Writer, from *bufio.Reader, turns [][2]string) {
	t.Helper()
	for _, turn := range turns {
		tell(t, to, turn[0])
		if got, err := from.ReadString('\n'); err != nil || got != turn[1] {
			t.Fatalf("%q brings %q, %v; wanted %q", turn[0], got, err, turn[1])
		}
	}
}

// The stream relay socat is the computer at the other end: one client on a pseudo
// terminal after the other.
func TestSocatOnAPTY(t *testing.T) {
	path := filepath.Join(t.TempDir(), "grid")
	serve(t, Options{Description: switcher(), Inputs: 4, Outputs: 4, Listen: "pty:" + path})
	to, from, leave := peer(t, "socat", "STDIO", "OPEN:"+path+",raw,echo=0,noctty")
	talk(t, to, from, [][2]string{
		{"*IDN?\r\n", "bayhand,simulated contacts 4x4,0,0\n"},
		{"CLOS (@1!2,3!1:4!2);:SYST:ERR?\n", "0,\"No error\"\n"},
		{"CLOS:STAT?\n", "#222(@1!2,3!1,3!2,4!1,4!2)\n"},
	})
	leave()
	to, from, _ = peer(t, "socat", "STDIO", "OPEN:"+path+",raw,echo=0,noctty")
	talk(t, to, from, [][2]string{{"OPEN:ALL;:CLOS:STAT?\n", "#13(@)\n"}})
}

func TestSocatOverTCP(t *testing.T) {
	where := serve(t, tcp(matrix.Faults{}))
	address := "TCP:" + strings.TrimPrefix(where, "tcp:")
	to, from, leave := peer(t, "socat", "STDIO", address)
	talk(t, to, from, [][2]string{{"CLOS (@16!16);CLOS? (@16!15:16!16)\n", "0,1\n"}})
	leave()
	to, from, _ = peer(t, "socat", "STDIO", address)
	talk(t, to, from, [][2]string{{"CLOS:STAT?\n", "#18(@16!16)\n"}, {"*RST;CLOS:STAT?;*OPC?\n", "#13(@);1\n"}})
}

// A raw MIDI line as socat reads and writes it, byte for byte.
func TestSocatOnRawMIDI(t *testing.T) {
	path := filepath.Join(t.TempDir(), "midi")
	serve(t, Options{Description: selector(), Inputs: 9, Outputs: 9, Listen: "rawmidi:" + path})
	to, from, _ := peer(t, "socat", "STDIO", "OPEN:"+path+",raw,echo=0,noctty")
	tell(t, to, "\xB0\x03\xF8\x04\x01\x02") // running status and a clock in between
	if got := take(t, from, 10); got != "\xF0\x7D\x03\x04\xF7\xF0\x7D\x01\x02\xF7" {
		t.Errorf("got % X", got)
	}
}
