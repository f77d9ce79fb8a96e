package text_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/device"
	"bayhand/model/text"
)

func TestDeviceIsRead(t *testing.T) {
	file := "testdata/ok/devices/words.yaml"
	d, places, problems := text.ReadDevice(file, read(t, file))
	if problems != nil {
		t.Fatal(problems)
	}
	lit := func(text string) device.Field { return device.Field{Kind: device.Literal, Bytes: []byte(text)} }
	want := &device.Description{
		Name: "words", Label: "Matrix on words", Standard: "none; an invented dialect",
		Links:  []device.Link{device.SerialLink, device.TCPLink, device.PTYLink},
		Serial: device.Serial{Baud: 31250, DataBits: 7, StopBits: 2, Parity: "even"},
		Inputs: 8, Outputs: 4, Switching: device.ByOutput, Echo: true,
		Frame: device.Frame{Kind: device.Lines, End: []byte("\r\n"), Requests: []byte("\r\n")},
		Parameters: []device.Parameter{
			{Name: "unit", Help: "the number on its back", To: 126, Default: "16"},
			{Name: "side", Help: "which half", Choices: []string{"left", "right"}, Default: "left"},
		},
		Exchanges: []device.Exchange{
			{Role: device.Identify, Batch: 1,
				Send:   []device.Field{lit("WHO "), {Kind: device.Number, Value: "unit", Base: device.Decimal, Width: 3}, lit("\r\n")},
				Answer: []device.Field{{Kind: device.Text, Value: "identity"}, lit("\r\n")}},
			{Role: device.Set, Batch: 4,
				Send: []device.Field{lit("SET "), {Kind: device.Text, Value: "side"}, {Kind: device.Each, Over: device.Changes, Separator: []byte(","), Of: []device.Field{
					{Kind: device.Number, Value: "output", Base: device.Hexadecimal}, lit("="), {Kind: device.Number, Value: "input", Base: device.Decimal, Add: -1, Off: []byte("-1")}}}, lit("\r\n")},
				Answer:  []device.Field{lit("OK\r\n")},
				Refusal: []device.Field{lit("NO "), {Kind: device.Text, Value: "message"}, lit("\r\n")}},
			{Role: device.Read, Batch: 1,
				Send: []device.Field{lit("R\r\n")},
				Answer: []device.Field{{Kind: device.Block, Bare: true, Of: []device.Field{
					{Kind: device.Each, Over: device.Outputs, Of: []device.Field{{Kind: device.Number, Value: "input", Base: device.EightBit}}}}}, lit("\r\n")}},
		},
		Pacing:  device.Pacing{Gap: 5, Settle: 20, Timeout: 2000, Retries: 1},
		Prepare: []string{"Set the number on its back."},
		Transcripts: []device.Transcript{{
			Title: "set", Source: "written out by hand", Inputs: 8, Outputs: 4,
			Parameters: map[string]string{"unit": "3", "side": "right"},
			Turns: []device.Turn{
				{Role: device.Set, Sent: true, Bytes: []byte("SET right1=2,4=-1\r\n"), Says: [][2]int{{1, 3}, {4, 0}}},
				{Role: device.Set, Means: "answer", Bytes: []byte("OK\r\n")},
				{Role: device.Read, Sent: true, Bytes: []byte("R\r\n")},
				{Role: device.Read, Means: "answer", Bytes: []byte("#14\x03\x00\x00\x00\r\n"), Says: [][2]int{{1, 3}}},
			},
		}},
	}
	if diff := cmp.Diff(want, d); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if place, _ := places.Of("messages.set.send[2]"); place.Line != 18 || place.Column != 34 {
		t.Errorf("the third field of set is at %v", place)
	}
}
