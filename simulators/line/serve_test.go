package line

import (
	"bufio"
	"context"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"go.uber.org/goleak"

	"bayhand/model/device"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// switcher is enough of a description for a SCPI switcher: the rest of it is
// for drivers.
func switcher() *device.Description {
	return &device.Description{
		Name: "scpi-switch", Standard: "SCPI-1999, IEEE 488.2-1992",
		Switching:  device.ByCrosspoint,
		Frame:      device.Frame{Kind: device.Lines, End: []byte("\n")},
		Parameters: []device.Parameter{{Name: "rows", Choices: []string{"outputs", "inputs"}, Default: "outputs"}},
	}
}

// serve starts a simulated device and gives its place. The test fails if it
// does not end, without an error, when the test does.
func serve(t *testing.T, o Options) (where string) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	ready, ended := make(chan string, 1), make(chan error, 1)
	go func() { ended <- Serve(ctx, o, func(where string) { ready <- where }) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("serving ended with %v", err)
		}
	})
	select {
	case where = <-ready:
		return where
	case err := <-ended:
		ended <- nil
		t.Fatalf("not served: %v", err)
	}
	return ""
}

func dial(t *testing.T, where string) net.Conn {
	t.Helper()
	conn, err := net.Dial("tcp", strings.TrimPrefix(where, "tcp:"))
	if err != nil {
		t.Fatal(err)
	}
	return conn
}

func ask(t *testing.T, conn interface {
	Write([]byte) (int, error)
	Read([]byte) (int, error)
}, message string) string {
	t.Helper()
	if _, err := conn.Write([]byte(message)); err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(conn).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	return line
}

// IEEE 488.2, 8.7.9 (block) and SCPI-1999, vol. 2, 15 (ROUTe).
func TestTCPServesOneClientAfterTheOther(t *testing.T) {
	where := serve(t, Options{Description: switcher(), Inputs: 16, Outputs: 16, Listen: "tcp:127.0.0.1:0"})
	first := dial(t, where)
	if got := ask(t, first, "ROUT:CLOS (@1!2,3!4);*OPC?\n"); got != "1\n" {
		t.Fatalf("got %q", got)
	}
	first.Write([]byte("ROUT:OPEN (@1!2)")) // not ended: forgotten when it leaves
	first.Close()
	second := dial(t, where)
	defer second.Close()
	if got := ask(t, second, "ROUT:CLOS:STAT?\n"); got != "#210(@1!2,3!4)\n" {
		t.Fatalf("the second client reads %q", got)
	}
}

func TestPTYOutlivesItsClients(t *testing.T) {
	path := filepath.Join(t.TempDir(), "grid")
	where := serve(t, Options{Description: switcher(), Inputs: 4, Outputs: 4, Listen: "pty:" + path})
	if where != "pty:"+path {
		t.Fatalf("it says it is at %q", where)
	}
	for _, c := range []struct{ ask, answer string }{
		{"CLOS (@4!4);:SYST:ERR?\r\n", "0,\"No error\"\n"},
		{"CLOS:STAT?\n", "#16(@4!4)\n"},
	} {
		terminal, err := os.OpenFile(path, os.O_RDWR, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := ask(t, terminal, c.ask); got != c.answer {
			t.Errorf("%q brings %q, not %q", c.ask, got, c.answer)
		}
		terminal.Close()
	}
}
