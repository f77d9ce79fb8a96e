package answer

import (
	"bytes"
	"strings"
	"testing"

	"bayhand/model/device"
	"bayhand/simulators/matrix"
)

func literal(text string) device.Field {
	return device.Field{Kind: device.Literal, Bytes: []byte(text)}
}

func number(value string, base device.Base, width int) device.Field {
	return device.Field{Kind: device.Number, Value: value, Base: base, Width: width}
}

func textOf(value string) device.Field { return device.Field{Kind: device.Text, Value: value} }

// relays is a description with what the shipped ones leave unused: single
// crosspoints, fixed widths, hexadecimal, a unit's number and name, channel lists
// in blocks, errors, a line's end of two bytes that the messages leave out.
func relays() *device.Description {
	closed := []device.Field{{Kind: device.Block, Of: []device.Field{{Kind: device.Channels, Over: device.Changes}}, Bare: true}}
	pair := []device.Field{number("output", device.Hexadecimal, 2), number("input", device.Decimal, 3)}
	head := []device.Field{literal("@"), number("unit", device.Decimal, 2), textOf("name")}
	with := func(fields ...device.Field) []device.Field {
		return append(append([]device.Field{}, head...), fields...)
	}
	return &device.Description{
		Name: "relays", Switching: device.ByCrosspoint,
		Frame:      device.Frame{Kind: device.Lines, End: []byte("\r\n"), Requests: []byte("\r\n")},
		Parameters: []device.Parameter{{Name: "unit", From: 0, To: 99, Default: "7"}, {Name: "name", Choices: []string{"abc", "x"}, Default: "abc"}, {Name: "rows", Choices: []string{"outputs", "inputs"}, Default: "inputs"}},
		Exchanges: []device.Exchange{
			{Role: device.Close, Batch: 4, Send: with(literal("C"), device.Field{Kind: device.Each, Over: device.Changes, Of: pair}), Answer: []device.Field{literal("+"), number("unit", device.Decimal, 2)}, Refusal: []device.Field{literal("-"), number("code", device.Decimal, 0), literal(" "), textOf("message")}},
			{Role: device.Open, Batch: 1, Send: with(append([]device.Field{literal("O")}, pair...)...)},
			{Role: device.Set, Batch: 1, Send: with(literal("A"), device.Field{Kind: device.Each, Over: device.Outputs, Separator: []byte(","), Of: []device.Field{number("input", device.Decimal, 0)}})},
			{Role: device.Open, Batch: 9, Send: with(literal("B"), closed[0])},
			{Role: device.Read, Send: with(literal("?")), Answer: closed},
			{Role: device.Errors, Send: with(literal("!")), Answer: []device.Field{number("code", device.Decimal, 3), literal("="), textOf("message")}},
			{Role: device.Settle, Send: with(literal("W")), Answer: []device.Field{literal("1\r\n")}},
		},
	}
}

func TestAUsersOwnLines(t *testing.T) {
	dev, m := simulated(t, relays(), 12, 12, nil, matrix.Faults{})
	for _, c := range []struct{ sent, back string }{
		{"@07abcC01002\r\n", "+07\r\n"},
		{"@07abcC0A0120b001\r\n", "+07\r\n"},
		{"@07abc?\r\n", "#217(@1!11,2!1,12!10)\r\n"}, // rows are the inputs
		{"@07abcC0D001\r\n", "-2 outside the matrix\r\n"},
		{"@07abcC00001\r\n", "-2 outside the matrix\r\n"},
		{"@07abcC0100101002010030100401005\r\n", "-3 too many changes in one message\r\n"},
		{"@07abcO0B001\r\n", ""},
		{"@07abc?\r\n", "#212(@2!1,12!10)\r\n"},
		{"@07abcB#16(@2!1)\r\n", ""},
		{"@07abc?\r\n", "#18(@12!10)\r\n"},
		{"@07abcB(@1!1:12!12)\r\n", ""}, // 144 channels, more than the batch
		{"@07abcB(@12!9:12!11)\r\n", ""},
		{"@07abc?\r\n", "#13(@)\r\n"},
		{"@07abcA1,2,0,4,0,0,0,0,0,0,0,12\r\n", ""},
		{"@07abc?\r\n", "#220(@1!1,2!2,4!4,12!12)\r\n"},
		{"@07abcA3,3\r\n", ""}, // not all outputs
		{"@07abc?\r\n", "#220(@1!1,2!2,4!4,12!12)\r\n"},
		{"@07abcW\r\n", "1\r\n"},
		{"@08abcW\r\n", ""}, // another unit
		{"@07xW\r\n", ""},
		{"@7abcW\r\n", ""},
		{"@07abcW\n", ""}, // that ends no line
		{"\r\n", ""},
		{"@07abcC1\r\n", ""},
	} {
		if got := string(bytes.Join(dev.Receive([]byte(c.sent)), nil)); got != c.back {
			t.Errorf("%q brings %q, not %q; closed are %v", c.sent, got, c.back, m.State())
		}
	}
	if first := string(bytes.Join(dev.Receive([]byte("@07abc!\r\n")), nil)); first != "002=outside the matrix\r\n" {
		t.Errorf("the oldest error is %q", first)
	}
	for range maxTroubles {
		dev.Receive([]byte("@07abc!\r\n"))
	}
	if last := string(bytes.Join(dev.Receive([]byte("@07abc!\r\n")), nil)); last != "000=no error\r\n" {
		t.Errorf("in the end it holds %q", last)
	}
}

// An end of a line inside a block's data ends no message (IEEE 488.2, 7.7.6.2);
// what is sent there is no channel list, so it is not understood as one message.
func TestLineEndsInsideBlocks(t *testing.T) {
	dev, _ := simulated(t, relays(), 12, 12, nil, matrix.Faults{})
	dev.Receive([]byte("@07abcB#14(\r\n)\r\n"))
	if dev.Messages() != 1 {
		t.Errorf("it is %d messages", dev.Messages())
	}
	dev.Receive([]byte("@07abcB#x\r\n#\r\n#2x\r\n#0\r\n"))
	if dev.Messages() != 5 {
		t.Errorf("blocks that are none: %d messages", dev.Messages()-1)
	}
}

func TestLinesThatAreTooLong(t *testing.T) {
	for _, flood := range []string{"A", "\r", "#9999999999"} {
		dev, _ := simulated(t, relays(), 12, 12, nil, matrix.Faults{})
		piece := []byte(strings.Repeat(flood, 4096/len(flood)))
		for range 100 {
			dev.Receive(piece)
		}
		if held := cap(dev.stream.(*lines).message); held > 2*MaxMessage {
			t.Errorf("%q: %d bytes are held", flood, held)
		}
		if got := string(bytes.Join(dev.Receive([]byte("\r\n@07abcW\r\n")), nil)); got != "1\r\n" {
			t.Errorf("%q: afterwards it answers %q", flood, got)
		}
	}
}

func TestNewRefusesWhatDoesNotFit(t *testing.T) {
	for _, c := range []struct {
		spoil           func(d *device.Description)
		outputs, inputs int
		says            string
	}{
		{func(d *device.Description) { d.Frame.Kind = device.FrameUnknown }, 4, 4, "lines, midi, or a start"},
		{func(d *device.Description) { d.Frame.End = nil }, 4, 4, "no end"},
		{func(d *device.Description) { d.Parameters[0].Default = "" }, 4, 4, "unit has no default"},
		{func(*device.Description) {}, 256, 4, "output 256 is 100 on the wire, which is wider than 2 digits"},
		{func(*device.Description) {}, 4, 1000, "input 1000"},
		{func(d *device.Description) { d.Exchanges[0].Send[1].Base = device.BaseUnknown }, 4, 4, "has no base"},
	} {
		d := relays()
		c.spoil(d)
		m, err := matrix.New(matrix.Contacts, c.outputs, c.inputs, matrix.Faults{})
		must(t, err)
		if _, err := New(m, d, nil); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v; it should say %q", err, c.says)
		}
	}
	m, err := matrix.New(matrix.Selectors, 129, 4, matrix.Faults{})
	must(t, err)
	if _, err := New(m, shipped(t, "midi-exclusive"), nil); err == nil || !strings.Contains(err.Error(), "output 129 is 128 on the wire") {
		t.Errorf("129 outputs in a 7-bit byte: %v", err)
	}
}

// A bank select and a program change are one exchange of several MIDI messages
// (MIDI 1.0: controller 0, controller 32, then the program).
func TestAnExchangeOfSeveralMIDIMessages(t *testing.T) {
	d := &device.Description{
		Name: "banks", Switching: device.ByOutput, Frame: device.Frame{Kind: device.MIDIMessages},
		Exchanges: []device.Exchange{
			{Role: device.Set, Batch: 1, Send: []device.Field{
				literal("\xB2\x00"), {Kind: device.Number, Value: "output", Base: device.SevenBit, Add: -1},
				literal("\xB2\x20\x00\xC2"), {Kind: device.Number, Value: "input", Base: device.SevenBit},
			}},
		},
	}
	for _, c := range []struct {
		stream string
		closed int
	}{
		{"B2 00 02 20 00 C2 04", 1},
		{"B2 00 02 F8 20 00 FE C2 04", 1},
		{"C2 04", 0},
		{"B2 00 02 C2 04 20 00 C2 04", 0},
		{"B2 00 01 B2 00 02 20 00 C2 04", 1},
		{"B2 00 02 20 01 C2 04", 0},
	} {
		dev, m := simulated(t, d, 8, 8, nil, matrix.Faults{})
		dev.Receive(wire(t, c.stream))
		if state := m.State(); len(state) != c.closed || c.closed == 1 && state[0] != (matrix.Crosspoint{Output: 3, Input: 4}) {
			t.Errorf("%s closes %v", c.stream, state)
		}
	}
}
