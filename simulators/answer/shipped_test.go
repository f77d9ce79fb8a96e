package answer

import (
	"os"
	"path/filepath"
	"testing"

	"bayhand/model/device"
	"bayhand/model/text"
	"bayhand/simulators/matrix"
)

const shippedFolder = "../../drivers/descriptions/devices"

// shipped reads a description as it ships.
func shipped(t testing.TB, name string) *device.Description {
	t.Helper()
	file := filepath.Join(shippedFolder, name+".yaml")
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	d, _, problems := text.ReadDevice(file, src)
	if problems.Errors() {
		t.Fatal(problems)
	}
	return d
}

// simulated is a device of that description.
func simulated(t testing.TB, d *device.Description, inputs, outputs int, parameters map[string]string, f matrix.Faults) (*Device, *matrix.Matrix) {
	t.Helper()
	kind := matrix.Selectors
	if d.Switching == device.ByCrosspoint {
		kind = matrix.Contacts
	}
	m, err := matrix.New(kind, outputs, inputs, f)
	if err != nil {
		t.Fatal(err)
	}
	var gangs [][]matrix.Output
	for _, list := range d.Gangs.All(outputs) {
		var gang []matrix.Output
		for _, o := range list {
			gang = append(gang, matrix.Output(o))
		}
		gangs = append(gangs, gang)
	}
	m.Gang(gangs...)
	dev, err := New(m, d, parameters)
	if err != nil {
		t.Fatal(err)
	}
	return dev, m
}

// Every transcript that ships is held with the device: what was sent to it must
// do what the transcript says, and what it answers must be the transcript's
// bytes, but for texts of its own.
func TestShippedTranscripts(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(shippedFolder, "*.yaml"))
	if err != nil || len(files) < 4 {
		t.Fatalf("%d descriptions found, %v", len(files), err)
	}
	for _, file := range files {
		d := shipped(t, filepath.Base(file[:len(file)-len(".yaml")]))
		for _, script := range d.Transcripts {
			t.Run(d.Name+"/"+script.Title, func(t *testing.T) { hold(t, d, script) })
		}
	}
}

func hold(t *testing.T, d *device.Description, script device.Transcript) {
	asked := map[device.Role][]byte{}
	for i, turn := range script.Turns {
		if turn.Sent {
			asked[turn.Role] = turn.Bytes
			sent(t, d, script, turn)
			continue
		}
		if turn.Role == device.Report {
			reported(t, d, script, turn)
			continue
		}
		message, ok := asked[turn.Role]
		if !ok || turn.Role == device.Errors {
			// An answer alone is of another device, one that writes otherwise; the
			// errors that this one holds are its own.
			continue
		}
		answered(t, d, script, i, message)
	}
}

func fresh(t *testing.T, d *device.Description, script device.Transcript, f matrix.Faults) (*Device, *matrix.Matrix) {
	return simulated(t, d, script.Inputs, script.Outputs, script.Parameters, f)
}

// sent checks that a message does what it says: from nothing, or for those that
// open from everything.
func sent(t *testing.T, d *device.Description, script device.Transcript, turn device.Turn) {
	dev, m := fresh(t, d, script, matrix.Faults{})
	opens := turn.Role == device.Open || turn.Role == device.Off
	says := turn.Says
	if turn.Role == device.ReadOutput || turn.Role == device.ReadRow {
		says = nil // a question moves nothing
	}
	for _, pair := range says {
		if opens || pair[1] == 0 {
			must(t, m.Close(matrix.Front, matrix.Crosspoint{Output: matrix.Output(pair[0]), Input: matrix.Input(max(pair[1], 1))}))
		}
	}
	before := m.Last()
	dev.Receive(turn.Bytes)
	if dev.Messages() != 1 && d.Frame.Kind != device.MIDIMessages {
		t.Errorf("%q is %d messages", turn.Bytes, dev.Messages())
	}
	if moved := m.Last() - before; moved != len(says) {
		t.Errorf("%q moves %d crosspoints, not %d", turn.Bytes, moved, len(says))
	}
	for _, pair := range says {
		c := matrix.Crosspoint{Output: matrix.Output(pair[0]), Input: matrix.Input(pair[1])}
		opens := opens || c.Input == 0
		if opens && m.Listens(c.Output) != 0 || !opens && !m.Closed(c) {
			t.Errorf("%q leaves %v", turn.Bytes, m.State())
		}
	}
}

// answered checks the bytes of an answer, of a refusal, or of word that it is
// busy or takes long. The device never gives up by itself.
func answered(t *testing.T, d *device.Description, script device.Transcript, at int, message []byte) {
	turn := script.Turns[at]
	e, _ := d.Exchange(turn.Role)
	fields, faults := e.Answer, matrix.Faults{}
	for _, other := range []struct {
		fields []device.Field
		faults matrix.Faults
	}{{e.Refusal, matrix.Faults{Refuse: 1}}, {e.Busy, matrix.Faults{Busy: 1}}, {e.Wait, matrix.Faults{Wait: 1}}} {
		if len(other.fields) > 0 && fits(t, d, script, other.fields, turn.Bytes) && !fits(t, d, script, e.Answer, turn.Bytes) {
			fields, faults = other.fields, other.faults
		}
	}
	if len(e.Cancelled) > 0 && fits(t, d, script, e.Cancelled, turn.Bytes) {
		return
	}
	dev, m := fresh(t, d, script, faults)
	for _, pair := range turn.Says {
		if pair[1] > 0 {
			must(t, m.Close(matrix.Front, matrix.Crosspoint{Output: matrix.Output(pair[0]), Input: matrix.Input(pair[1])}))
		}
	}
	answers := dev.Receive(message)
	if len(answers) != 1+faults.Wait {
		t.Fatalf("%q brings %d answers", message, len(answers))
	}
	if hasText(fields) {
		// Its words are its own; all else must be the same.
		if !fits(t, d, script, fields, answers[0]) {
			t.Errorf("%q brings %q", message, answers[0])
		}
		if d.Frame.Kind != device.MIDIMessages {
			return
		}
	}
	if string(answers[0]) != string(turn.Bytes) {
		t.Errorf("%q brings % X, not % X", message, answers[0], turn.Bytes)
	}
}

func reported(t *testing.T, d *device.Description, script device.Transcript, turn device.Turn) {
	dev, m := fresh(t, d, script, matrix.Faults{})
	var moved []matrix.Crosspoint
	for _, pair := range turn.Says {
		c := matrix.Crosspoint{Output: matrix.Output(pair[0]), Input: matrix.Input(pair[1])}
		if c.Input == 0 { // it was on before it was turned off
			must(t, m.Close(matrix.Front, matrix.Crosspoint{Output: c.Output, Input: 1}))
		}
		moved = append(moved, c)
	}
	before := m.Last()
	must(t, m.Set(matrix.Front, moved...))
	var got []byte
	for _, report := range dev.Report(m.History(before)) {
		got = append(got, report...)
	}
	if string(got) != string(turn.Bytes) {
		t.Errorf("turned to %v it reports %q, not %q", moved, got, turn.Bytes)
	}
}

func fits(t *testing.T, d *device.Description, script device.Transcript, fields []device.Field, message []byte) bool {
	s, err := newSettings(d, script.Parameters)
	must(t, err)
	m := &matcher{settings: s, outputs: script.Outputs, inputs: script.Inputs, frame: d.Frame, gang: d.Gangs.Of, message: message}
	return m.whole(fields)
}

func hasText(fields []device.Field) bool {
	for _, f := range fields {
		if f.Kind == device.Text || hasText(f.Of) {
			return true
		}
	}
	return false
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
