package line

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"bayhand/model/device"
	"bayhand/model/text"
	"bayhand/simulators/matrix"
)

// shipped reads every description as it ships.
func shipped(t *testing.T) []*device.Description {
	t.Helper()
	files, err := filepath.Glob("../../drivers/descriptions/devices/*.yaml")
	if err != nil || len(files) < 4 {
		t.Fatalf("%d descriptions found, %v", len(files), err)
	}
	var all []*device.Description
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		d, _, problems := text.ReadDevice(file, src)
		if problems.Errors() {
			t.Fatal(problems)
		}
		all = append(all, d)
	}
	return all
}

// Every description that ships can be played at the smallest size and at the
// largest that it allows.
func TestShippedDescriptionsArePlayed(t *testing.T) {
	for _, d := range shipped(t) {
		least := max(1, d.Gangs.Of)
		for _, size := range [][2]int{{least, least}, {largest(d.MaxInputs), largest(d.MaxOutputs)}} {
			o := Options{Description: d, Inputs: size[0], Outputs: size[1]}
			if d.Name == "midi-control-change" {
				o.Parameters = map[string]string{"first": "0"} // room for them all
			}
			if _, err := newServer(o); err != nil {
				t.Errorf("%s of %d inputs and %d outputs: %v", d.Name, size[0], size[1], err)
			}
		}
		if most := d.MaxOutputs; most > 0 {
			if _, err := newServer(Options{Description: d, Inputs: least, Outputs: most + least}); err == nil {
				t.Errorf("%s with %d outputs is played", d.Name, most+least)
			}
		}
	}
}

func largest(most int) int {
	if most == 0 {
		return 64
	}
	return most
}

// What the shipped SCPI description sends, the switcher that was written from the
// standard understands; what the standard makes it answer is what the
// description's transcripts expect.
func TestShippedSCPITranscripts(t *testing.T) {
	held := 0
	for _, d := range shipped(t) {
		if !followsSCPI(d) {
			continue
		}
		for _, script := range d.Transcripts {
			held += hold(t, d, script)
		}
	}
	if held < 6 {
		t.Errorf("only %d turns were held", held)
	}
}

func hold(t *testing.T, d *device.Description, script device.Transcript) (held int) {
	asked := map[device.Role][]byte{}
	for _, turn := range script.Turns {
		o := Options{Description: d, Inputs: script.Inputs, Outputs: script.Outputs, Parameters: script.Parameters}
		m, err := NewMatrix(o)
		if err != nil {
			t.Fatal(err)
		}
		o.Matrix = m
		s, err := newServer(o)
		if err != nil {
			t.Fatal(err)
		}
		said := closedBy(turn)
		switch {
		case turn.Role == device.Errors:
			continue // the errors that it holds are its own
		case turn.Sent:
			asked[turn.Role] = turn.Bytes
			if turn.Role == device.ReadRow {
				said = nil // a question moves nothing
			}
			if turn.Role == device.Open {
				if err := m.Close(matrix.Front, said...); err != nil {
					t.Fatal(err)
				}
				said = nil
			}
			s.player.Receive(turn.Bytes)
			if got := m.State(); len(got) != len(said) || len(got) > 0 && got[0] != said[0] {
				t.Errorf("%s: %q leaves %v, not %v", script.Title, turn.Bytes, got, said)
			}
			if got := s.player.Receive([]byte("SYST:ERR?\n")); string(bytes.Join(got, nil)) != "0,\"No error\"\n" {
				t.Errorf("%s: %q leaves the error %q", script.Title, turn.Bytes, got)
			}
		case asked[turn.Role] == nil:
			continue // an answer of a device that writes otherwise
		default:
			if err := m.Close(matrix.Front, said...); err != nil {
				t.Fatal(err)
			}
			if got := bytes.Join(s.player.Receive(asked[turn.Role]), nil); string(got) != string(turn.Bytes) {
				t.Errorf("%s: %q brings %q, not %q", script.Title, asked[turn.Role], got, turn.Bytes)
			}
		}
		held++
	}
	return held
}

func closedBy(turn device.Turn) []matrix.Crosspoint {
	var list []matrix.Crosspoint
	for _, pair := range turn.Says {
		if pair[1] == 0 {
			continue
		}
		list = append(list, matrix.Crosspoint{Output: matrix.Output(pair[0]), Input: matrix.Input(pair[1])})
	}
	return list
}
