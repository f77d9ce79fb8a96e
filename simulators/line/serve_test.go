package line

import (
	"bufio"
	"context"
	"io"
	"net"
	"strings"
	"testing"
	"time"

	"bayhand/model/device"
	"bayhand/simulators/leaks"
	"bayhand/simulators/matrix"
)

func TestMain(m *testing.M) { leaks.TestMain(m) }

// switcher is enough of a description for a SCPI switcher: the rest of it is
// for drivers.
func switcher() *device.Description {
	return &device.Description{
		Name: "scpi-switch", Standard: "SCPI-1999, IEEE 488.2-1992",
		Switching:  device.ByCrosspoint,
		Frame:      device.Frame{Kind: device.Lines, End: []byte("\n"), Requests: []byte("\n")},
		Parameters: []device.Parameter{{Name: "rows", Choices: []string{"outputs", "inputs"}, Default: "outputs"}},
	}
}

// selector speaks MIDI: B0, output, input; it answers F0 7D output F7 and reports
// in the same way.
func selector() *device.Description {
	output := device.Field{Kind: device.Number, Value: "output", Base: device.SevenBit}
	input := device.Field{Kind: device.Number, Value: "input", Base: device.SevenBit}
	literal := func(b ...byte) device.Field { return device.Field{Kind: device.Literal, Bytes: b} }
	says := []device.Field{literal(0xF0, 0x7D), output, input, literal(0xF7)}
	return &device.Description{
		Name: "selector", Standard: "MIDI 1.0",
		Switching: device.ByOutput,
		Frame:     device.Frame{Kind: device.MIDIMessages},
		Exchanges: []device.Exchange{
			{Role: device.Set, Batch: 1, Send: []device.Field{literal(0xB0), output, input}, Answer: says},
			{Role: device.Report, Batch: 1, Answer: says},
		},
	}
}

// serve starts a simulated device and gives its place. The test fails if it
// does not end, without an error, when the test does.
func serve(t *testing.T, o Options) (where string) {
	t.Helper()
	where, _ = serveUntil(t, o)
	return where
}

// serveUntil gives a function as well that ends it sooner.
func serveUntil(t *testing.T, o Options) (where string, end func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	ready, ended := make(chan string, 1), make(chan error, 1)
	go func() { ended <- Serve(ctx, o, func(where string) { ready <- where }) }()
	done := false
	end = func() {
		cancel()
		if done {
			return
		}
		done = true
		select {
		case err := <-ended:
			if err != nil {
				t.Errorf("serving ended with %v", err)
			}
		case <-time.After(time.Minute):
			t.Error("serving does not end with its context")
		}
	}
	t.Cleanup(end)
	select {
	case where = <-ready:
	case err := <-ended:
		done = true
		t.Fatalf("not served: %v", err)
	}
	return where, end
}

func dial(t *testing.T, where string) net.Conn {
	t.Helper()
	conn, err := net.Dial("tcp", strings.TrimPrefix(where, "tcp:"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	conn.SetDeadline(time.Now().Add(time.Minute))
	return conn
}

// ask sends a message and gives the line that comes back.
func ask(t *testing.T, stream io.ReadWriter, message string) string {
	t.Helper()
	tell(t, stream, message)
	line, err := bufio.NewReader(stream).ReadString('\n')
	if err != nil {
		t.Fatalf("after %q: %v", message, err)
	}
	return line
}

func tell(t *testing.T, stream io.Writer, message string) {
	t.Helper()
	if _, err := io.WriteString(stream, message); err != nil {
		t.Fatalf("%q: %v", message, err)
	}
}

// take reads exactly so many bytes.
func take(t *testing.T, stream io.Reader, count int) string {
	t.Helper()
	b := make([]byte, count)
	if _, err := io.ReadFull(stream, b); err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// tcp is options for a switcher on a free port.
func tcp(f matrix.Faults) Options {
	return Options{Description: switcher(), Inputs: 16, Outputs: 16, Listen: "tcp:127.0.0.1:0", Faults: f}
}

// IEEE 488.2, 8.7.9 (block) and SCPI-1999, vol. 2, 15 (ROUTe).
func TestTCPServesOneClientAfterTheOther(t *testing.T) {
	where := serve(t, tcp(matrix.Faults{}))
	first := dial(t, where)
	if got := ask(t, first, "ROUT:CLOS (@1!2,3!4);*OPC?\n"); got != "1\n" {
		t.Fatalf("got %q", got)
	}
	second := dial(t, where) // it waits for its turn
	tell(t, second, "ROUT:CLOS:STAT?\n")
	tell(t, first, "ROUT:OPEN (@1!2)") // not ended: forgotten when it leaves
	first.Close()
	if got := take(t, second, len("#210(@1!2,3!4)\n")); got != "#210(@1!2,3!4)\n" {
		t.Fatalf("the second client reads %q", got)
	}
}

func TestParametersTurnTheRows(t *testing.T) {
	o := tcp(matrix.Faults{})
	o.Parameters = map[string]string{"rows": "inputs"}
	var err error
	if o.Matrix, err = NewMatrix(o); err != nil {
		t.Fatal(err)
	}
	client := dial(t, serve(t, o))
	ask(t, client, "CLOS (@5!2);*OPC?\n")
	if !o.Matrix.Closed(matrix.Crosspoint{Output: 2, Input: 5}) {
		t.Errorf("closed are %v", o.Matrix.State())
	}
	// A default other than the first serves where nothing is given.
	d := switcher()
	d.Parameters[0].Default = "inputs"
	o = Options{Description: d, Inputs: 5, Outputs: 2, Listen: "tcp:127.0.0.1:0"}
	if got := ask(t, dial(t, serve(t, o)), "CLOS (@5!2);:SYST:ERR?\n"); got != "0,\"No error\"\n" {
		t.Errorf("rows are inputs by default: %q", got)
	}
}

// A hand at the front is seen by the one who asks over the line.
func TestTurnedByHand(t *testing.T) {
	o := tcp(matrix.Faults{})
	var err error
	if o.Matrix, err = NewMatrix(o); err != nil {
		t.Fatal(err)
	}
	client := dial(t, serve(t, o))
	ask(t, client, "CLOS (@1!1);*OPC?\n")
	if err := o.Matrix.Change(matrix.Front, o.Matrix.State(), []matrix.Crosspoint{{Output: 2, Input: 3}}); err != nil {
		t.Fatal(err)
	}
	if got := ask(t, client, "CLOS:STAT?\n"); got != "#16(@2!3)\n" {
		t.Errorf("read back: %q", got)
	}
}

// A device with reports tells of a hand at its front by itself, and not of what
// came over the line or before the client did.
func TestReports(t *testing.T) {
	o := Options{Description: selector(), Inputs: 9, Outputs: 9, Listen: "tcp:127.0.0.1:0"}
	var err error
	if o.Matrix, err = NewMatrix(o); err != nil {
		t.Fatal(err)
	}
	where := serve(t, o)
	if err := o.Matrix.Set(matrix.Front, matrix.Crosspoint{Output: 1, Input: 1}); err != nil {
		t.Fatal(err)
	}
	client := dial(t, where)
	tell(t, client, "\xB0\x02\x05")
	if got := take(t, client, 5); got != "\xF0\x7D\x02\x05\xF7" {
		t.Fatalf("the answer is % X", got)
	}
	if err := o.Matrix.Set(matrix.Front, matrix.Crosspoint{Output: 3, Input: 4}); err != nil {
		t.Fatal(err)
	}
	if got := take(t, client, 5); got != "\xF0\x7D\x03\x04\xF7" {
		t.Fatalf("the report is % X", got)
	}
	if err := o.Matrix.Set(matrix.Front, matrix.Crosspoint{Output: 3}); err != nil {
		t.Fatal(err)
	}
	if got := take(t, client, 5); got != "\xF0\x7D\x03\x00\xF7" {
		t.Fatalf("the report of off is % X", got)
	}
}

func TestServeRefuses(t *testing.T) {
	for _, c := range []struct {
		spoil func(o *Options)
		says  string
	}{
		{func(o *Options) { o.Description = nil }, "no device description"},
		{func(o *Options) { o.Listen = "" }, "pty:PATH"},
		{func(o *Options) { o.Listen = "tcp:" }, "write tcp:HOST:PORT"},
		{func(o *Options) { o.Listen = "udp:1" }, `"udp:1" is no place to listen`},
		{func(o *Options) { o.Listen = "serial:/dev/ttyS0" }, "is no place to listen"},
		{func(o *Options) { o.Listen = "rawmidi:/tmp/x" }, "does not speak MIDI"},
		{func(o *Options) { o.Listen = "tcp:127.0.0.1:none" }, "is no place to listen; write tcp:HOST:PORT"},
		{func(o *Options) { o.Listen = "rfc2217:none" }, "is no place to listen; write rfc2217:HOST:PORT"},
		{func(o *Options) { o.Listen = "pty:" }, "has no path"},
		{func(o *Options) { o.Inputs = 0 }, "its number of inputs is missing"},
		{func(o *Options) { o.Outputs = 0 }, "its number of outputs is missing"},
		{func(o *Options) { o.Outputs = matrix.MaxSize + 1 }, "1 to 1024"},
		{func(o *Options) { o.Description.MaxInputs = 8 }, "16 inputs were asked for; it has at most 8"},
		{func(o *Options) { o.Description.Outputs = 8 }, "16 outputs were asked for; it always has 8"},
		{func(o *Options) { o.Parameters = map[string]string{"row": "inputs"} }, "rows"},
		{func(o *Options) { o.Parameters = map[string]string{"rows": "input"} }, "one of outputs, inputs"},
		{func(o *Options) { o.Description.Standard = "none" }, "lines have no end"},
		{func(o *Options) { o.Faults.Stuck = []matrix.Crosspoint{{Output: 17, Input: 1}} }, "outside"},
	} {
		o := tcp(matrix.Faults{})
		c.spoil(&o)
		if c.says == "lines have no end" {
			o.Description.Frame.End = nil
		}
		err := Serve(context.Background(), o, func(where string) { t.Errorf("it serves at %s where it should say %q", where, c.says) })
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v; it should say %q", err, c.says)
		}
	}
}

func TestFixedSizesNeedNotBeGiven(t *testing.T) {
	d := switcher()
	d.Inputs, d.Outputs = 4, 2
	m, err := NewMatrix(Options{Description: d})
	if err != nil {
		t.Fatal(err)
	}
	if outputs, inputs := m.Size(); outputs != 2 || inputs != 4 || m.Kind() != matrix.Contacts {
		t.Errorf("%s of %d inputs and %d outputs", m.Kind(), inputs, outputs)
	}
}

func TestNumberParameters(t *testing.T) {
	d := switcher()
	d.Parameters = []device.Parameter{{Name: "unit", From: 0, To: 126, Default: "16"}}
	for value, legal := range map[string]bool{"0": true, "126": true, "127": false, "-1": false, "x": false, "": false} {
		if err := checkParameters(d, map[string]string{"unit": value}); (err == nil) != legal {
			t.Errorf("unit %q: %v", value, err)
		}
	}
}
