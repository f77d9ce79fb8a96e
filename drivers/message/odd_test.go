package message_test

import (
	"errors"
	"strings"
	"testing"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

// odd has what the descriptions that ship have not: bytes in hexadecimal digits
// with a checksum, as Modbus ASCII has them, words for numbers, numbers of two
// bytes, and nibbles.
func odd() *device.Description {
	nibbles := device.Field{Kind: device.Packed, Base: device.EightBit, Of: []device.Field{
		{Kind: device.Number, Value: "output", Add: -1, Bits: device.Bits{Count: 3}},
		{Kind: device.Number, Value: "input", Bits: device.Bits{Count: 5}},
	}}
	lrc := device.Check{Kind: device.NegatedSum, Form: device.HighFirst}
	words := device.Field{Kind: device.Number, Value: "input", Words: []device.Word{
		{Number: 0, Bytes: []byte("OFF")}, {Number: 1, Bytes: []byte("MIC")}, {Number: 2, Bytes: []byte("MIC2")}, {Number: 16, Bytes: []byte("LINE")}}}
	wide := func(value string, base device.Base) device.Field {
		return device.Field{Kind: device.Number, Value: value, Base: base}
	}
	return &device.Description{
		Name: "odd", Switching: device.ByOutput, Frame: device.Frame{Kind: device.Lines, End: []byte("\n"), Requests: []byte("\n")},
		Exchanges: []device.Exchange{
			{Role: device.Set, Batch: 8, Send: []device.Field{lit(":"), {Kind: device.Hexed, Of: []device.Field{
				{Kind: device.Checked, Check: lrc, Of: []device.Field{raw(0x11), {Kind: device.Each, Over: device.Changes, Of: []device.Field{nibbles}}}}}}, lit("\n")}},
			{Role: device.ReadOutput, Batch: 1, Send: []device.Field{lit("?"), wide("output", device.FourteenBitLow), lit("\n")},
				Answer: []device.Field{wide("output", device.SixteenBit), lit("="), words, lit("\n")}},
			{Role: device.Off, Batch: 1, Send: []device.Field{lit("-"), wide("output", device.FourteenBit), wide("output", device.SixteenBitLow), lit("\n")}},
		},
	}
}

func TestOddFields(t *testing.T) {
	c := codec(t, odd(), 16, 8, nil)
	for _, test := range []struct {
		role  device.Role
		about crosspoints
		want  string
	}{
		// 11h, then 010 00011 (output 3 less 1, input 3) is 43h; the sum is 54h and
		// its complement AC, as the LRC of Modbus over Serial Line V1.02, 6.2.1.
		{device.Set, crosspoints{{3, 3}}, ":1143AC\n"},
		{device.ReadOutput, crosspoints{{5, 0}}, "?\x05\x00\n"},
		{device.Off, crosspoints{{8, 0}}, "-\x00\x08\x08\x00\n"},
	} {
		got, err := c.Send(test.role, message.Says{Crosspoints: test.about})
		if err != nil || string(got) != test.want {
			t.Errorf("%v %v is %q, %v, want %q", test.role, test.about, got, err, test.want)
			continue
		}
		if back, err := c.Sent(test.role, got); err != nil || len(back.Crosspoints) != 1 || back.Crosspoints[0] != test.about[0] {
			t.Errorf("%q reads back as %v, %v", got, back, err)
		}
	}
}

func TestOddAnswers(t *testing.T) {
	c := codec(t, odd(), 16, 8, nil)
	for _, test := range []struct {
		answer string
		want   crosspoints
		err    error
	}{
		{"\x00\x03=MIC\n", crosspoints{{3, 1}}, nil},
		{"\x00\x03=MIC2\n", crosspoints{{3, 2}}, nil}, // the longest word
		{"\x00\x03=OFF\n", crosspoints{{3, 0}}, nil},
		{"\x00\x04=MIC\n", nil, message.ErrOther}, // another output's
		{"\x03=MIC\n", nil, message.ErrOther},
	} {
		says, err := c.AnswerAbout(device.ReadOutput, 3, []byte(test.answer))
		if !errors.Is(err, test.err) || len(says.Crosspoints) != len(test.want) || len(test.want) > 0 && says.Crosspoints[0] != test.want[0] {
			t.Errorf("%q says %v, %v", test.answer, says.Crosspoints, err)
		}
	}
	if _, err := c.Sent(device.Set, []byte(":1143AD\n")); err == nil || !strings.Contains(err.Error(), "checksum") {
		t.Errorf("a spoilt checksum: %v", err)
	}
}

func TestFieldsThatCannotBe(t *testing.T) {
	for want, change := range map[string]func(*device.Description){
		"its parts take 9 bits":                 func(d *device.Description) { d.Exchanges[0].Send[1].Of[0].Of[1].Of[0].Of[1].Bits.Count = 6 },
		"does not say how it is computed":       func(d *device.Description) { d.Exchanges[0].Send[1].Of[0].Check.Kind = device.CheckUnknown },
		"has 8, 16, 24 or 32":                   func(d *device.Description) { d.Exchanges[0].Send[1].Of[0].Check.Kind = device.CyclicRedundancy },
		"no fixed number of bytes":              func(d *device.Description) { d.Exchanges[0].Send[2] = dec("output") },
		"is added, and is no parameter":         func(d *device.Description) { d.Exchanges[1].Send[1].Plus = "first" },
		"which output it asks about":            func(d *device.Description) { d.Exchanges[1].Send = d.Exchanges[1].Send[:1] },
		"a number that is the input":            func(d *device.Description) { d.Exchanges[1].Answer = d.Exchanges[1].Answer[:1] },
		"the word for 0 is empty":               func(d *device.Description) { d.Exchanges[1].Answer[2].Words[0].Bytes = nil },
		"length is for counted messages":        func(d *device.Description) { d.Exchanges[1].Send[1].Value = "length" },
		"closed stands in the rounds":           func(d *device.Description) { d.Exchanges[1].Answer[2].Value = "closed" },
		"nothing says where its messages start": func(d *device.Description) { d.Frame = device.Frame{Kind: device.Counted} },
		"stands inside the start": func(d *device.Description) {
			d.Frame = device.Frame{Kind: device.Counted, Start: []byte{1, 2}, Length: device.Length{At: 1, Base: device.EightBit}}
		},
		"is no message of its frame": func(d *device.Description) {
			d.Frame = device.Frame{Kind: device.Counted, Start: []byte{1}, Length: device.Length{At: 1, Base: device.EightBit}}
		},
	} {
		d := odd()
		change(d)
		if _, err := message.New(d, 16, 8, nil); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}
