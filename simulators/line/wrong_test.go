package line

import (
	"bytes"
	"context"
	"io"
	"net"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/simulators/matrix"
)

// answers sends messages to a switcher with faults and gives the first bytes
// that come back.
func answers(t *testing.T, f matrix.Faults, sent string, count int) string {
	t.Helper()
	client := dial(t, serve(t, tcp(f)))
	tell(t, client, sent)
	return take(t, client, count)
}

func TestEveryNthAnswerIsLost(t *testing.T) {
	sent := "*ESE 1;*ESE?\n*ESE 2;*ESE?\n*ESE 3;*ESE?\n*ESE 4;*ESE?\n*ESE 5;*ESE?\n"
	if got := answers(t, matrix.Faults{Lose: 2}, sent, 6); got != "1\n3\n5\n" {
		t.Errorf("got %q", got)
	}
}

func TestEveryNthAnswerIsSpoilt(t *testing.T) {
	sent := "SYST:ERR?\nSYST:ERR?\n*OPC?\n*OPC?\n"
	if got := answers(t, matrix.Faults{Garble: 2}, sent, 28); got != "0,\"No error\"\n0?\"?o?e?r?r?\n1\n?\n"[:28] {
		t.Errorf("got %q", got)
	}
}

func TestGarbledKeepsItsEnd(t *testing.T) {
	for sound, spoilt := range map[string]string{
		"": "", "\n": "\n", "1\n": "?\n", "1,0\n": "1?0\n", "#13(@)\n": "#?3?@?\n",
		"\xF0\x7E\x10\x7F\x05\xF7": "\xF0?\x10?\x05\xF7",
	} {
		if got := string(garbled([]byte(sound))); got != spoilt {
			t.Errorf("%q is spoilt to %q, not %q", sound, got, spoilt)
		}
	}
}

func TestRefusedOverTheLine(t *testing.T) {
	client := dial(t, serve(t, tcp(matrix.Faults{Refuse: 1})))
	if got := ask(t, client, "*CLS;CLOS (@1!1);:SYST:ERR?\n"); got != "-240,\"Hardware error\"\n" {
		t.Errorf("got %q", got)
	}
}

func TestDeadAfterSomeBytes(t *testing.T) {
	alive := "*OPC?\n"
	o := tcp(matrix.Faults{Dead: 2 * len(alive)})
	o.Matrix, _ = NewMatrix(o)
	heard := make(chan struct{}, 100)
	o.Traffic = func(tr Traffic) {
		if tr.Received && bytes.Contains(tr.Bytes, []byte("CLOS")) {
			heard <- struct{}{}
		}
	}
	client := dial(t, serve(t, o))
	for range 2 {
		if got := ask(t, client, alive); got != "1\n" {
			t.Fatalf("alive it says %q", got)
		}
	}
	tell(t, client, "*OPC?\nCLOS (@1!1)\n")
	<-heard
	client.SetReadDeadline(time.Now().Add(50 * time.Millisecond))
	if n, err := client.Read(make([]byte, 10)); n != 0 || !isTimeout(err) {
		t.Errorf("dead it says %d bytes, %v", n, err)
	}
	if len(o.Matrix.State()) != 0 {
		t.Errorf("dead it closes %v", o.Matrix.State())
	}
}

func TestARestartLosesStateAndConnection(t *testing.T) {
	where := serve(t, tcp(matrix.Faults{Reboot: 3}))
	client := dial(t, where)
	ask(t, client, "*CLS;CLOS (@1!1);*OPC?\n")
	ask(t, client, "CLOS? (@1!1)\n")
	tell(t, client, "*OPC?\n*OPC?\n")
	if rest, err := io.ReadAll(client); len(rest) != 0 {
		t.Errorf("restarting it says %q, %v", rest, err)
	}
	client = dial(t, where)
	// Power on again (IEEE 488.2, 11.5.1, bit 7), and no second restart.
	for _, want := range []string{"128;0\n", "0;0\n", "0;0\n", "0;0\n"} {
		if got := ask(t, client, "*ESR?;CLOS? (@1!1)\n"); got != want {
			t.Errorf("after it: %q, not %q", got, want)
		}
	}
}

func TestAnEchoComesBeforeTheAnswer(t *testing.T) {
	o := tcp(matrix.Faults{})
	o.Description.Echo = true
	client := dial(t, serve(t, o))
	tell(t, client, "*CLS\n*OPC?\n*WAI\n*TST?\n*C")
	want := "*CLS\n*OPC?\n1\n*WAI\n*TST?\n0\n*C"
	if got := take(t, client, len(want)); got != want {
		t.Errorf("got %q", got)
	}
}

// Time is the test's: a delay is waited, and the context ends the wait.
func TestDelay(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, err := newServer(tcp(matrix.Faults{Delay: 200 * time.Millisecond}))
		if err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithCancel(t.Context())
		here, there := net.Pipe()
		ended := make(chan error, 1)
		go func() { ended <- s.converse(ctx, there) }()
		begun := time.Now()
		if got := ask(t, here, "*OPC?\n"); got != "1\n" || time.Since(begun) != 200*time.Millisecond {
			t.Errorf("%q after %s", got, time.Since(begun))
		}
		tell(t, here, "*OPC?\n")
		begun = time.Now()
		cancel()
		if err := <-ended; err != context.Canceled || time.Since(begun) != 0 {
			t.Errorf("it ends with %v after %s", err, time.Since(begun))
		}
		here.Close()
	})
}

// An answer that nobody reads is lost after a while; the device goes on.
func TestNobodyReads(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, err := newServer(tcp(matrix.Faults{}))
		if err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithCancel(t.Context())
		here, there := net.Pipe() // without any buffer
		ended := make(chan error, 1)
		go func() { ended <- s.converse(ctx, there) }()
		tell(t, here, "*ESE 7;*ESE?\n")
		<-time.After(2 * patience)
		tell(t, here, "*ESE 9\n*ESE?\n")
		if got := take(t, here, 2); got != "9\n" {
			t.Errorf("got %q", got)
		}
		cancel()
		<-ended
		here.Close()
	})
}

func TestTrafficIsTold(t *testing.T) {
	o := tcp(matrix.Faults{})
	told := make(chan Traffic, 100)
	o.Traffic = func(tr Traffic) { told <- tr }
	where, end := serveUntil(t, o)
	client := dial(t, where)
	ask(t, client, "*OPC?\n")
	end()
	close(told)
	var received, said strings.Builder
	for tr := range told {
		if tr.Received {
			received.Write(tr.Bytes)
		} else {
			said.Write(tr.Bytes)
		}
	}
	if received.String() != "*OPC?\n" || said.String() != "1\n" {
		t.Errorf("received %q, said %q", received.String(), said.String())
	}
}

func TestTrafficIsPrinted(t *testing.T) {
	for want, tr := range map[string]Traffic{
		`< "*IDN?\r\n"`: {Received: true, Bytes: []byte("*IDN?\r\n")},
		`> ""`:          {},
		"> F0 7D F7":    {Bytes: []byte{0xF0, 0x7D, 0xF7}},
		"< 41 00":       {Received: true, Bytes: []byte("A\x00")},
	} {
		if got := tr.String(); got != want {
			t.Errorf("%q, not %q", got, want)
		}
	}
}

// A client that floods without a line feed is answered in the end.
func TestAFloodOverTheLine(t *testing.T) {
	client := dial(t, serve(t, tcp(matrix.Faults{})))
	tell(t, client, "*CLS\n"+strings.Repeat("A", 1<<20))
	if got := ask(t, client, "\nSYST:ERR?\n"); got != "-363,\"Input buffer overrun\"\n" {
		t.Errorf("got %q", got)
	}
}

func TestEndingWithAClientConnected(t *testing.T) {
	where, end := serveUntil(t, tcp(matrix.Faults{Delay: time.Hour}))
	client := dial(t, where)
	tell(t, client, "*OPC?\n") // it would answer in an hour
	end()
	if rest, _ := io.ReadAll(client); len(rest) != 0 {
		t.Errorf("it says %q", rest)
	}
}
