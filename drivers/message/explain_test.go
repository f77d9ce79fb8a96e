package message_test

import (
	"strings"
	"testing"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

func TestExplain(t *testing.T) {
	c := codec(t, exclusive(), 8, 8, nil)
	examples, err := c.Explain(message.Crosspoint{Output: 8, Input: 3})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range examples {
		switch x.Role {
		case device.Set:
			if got := c.Show(x.Bytes); got != "F0 7D 10 01 01 07 03 00 03 F7" || len(x.About) != 2 {
				t.Errorf("set of %v is %s", x.About, got)
			}
			if len(x.Answers) != 2 || x.Answers[1] != (message.Form{Means: "it refuses", Form: "F0 7E 10 7E <packet> F7"}) {
				t.Errorf("answers to set are %v", x.Answers)
			}
		case device.Read:
			if got := x.Answers[0].Form; got != "F0 7D 10 42 <packet> (<input> for each of its outputs) F7" {
				t.Errorf("the answer to read is %s", got)
			}
		}
	}
}

// Every kind of field has words.
func TestEveryFieldIsExplained(t *testing.T) {
	number := device.Field{Kind: device.Number, Value: "output", Base: device.SevenBit, Plus: "unit", Add: -1, Bits: device.Bits{Low: 7, Count: 7}}
	d := exclusive()
	d.Exchanges[1].Refusal = []device.Field{
		raw(0xF0), {Kind: device.Each, Over: device.Changes, Separator: []byte(","), Of: []device.Field{dec("output")}}, text("message"),
		{Kind: device.Checked, Of: []device.Field{raw(1)}, Check: device.Check{Kind: device.XOR, Form: device.SevenBits}},
		{Kind: device.Hexed, Of: []device.Field{lit("a")}}, number,
		{Kind: device.Packed, Base: device.EightBit, Of: []device.Field{{Kind: device.Number, Value: "input", Bits: device.Bits{Count: 8}}}},
		raw(0xF7),
	}
	c := codec(t, d, 8, 8, nil)
	examples, err := c.Explain(message.Crosspoint{Output: 1, Input: 1})
	if err != nil {
		t.Fatal(err)
	}
	const want = `F0 (<output> for each of its changes, 2C between them) <message> (01 and their xor) (in hexadecimal digits: 61) <output+16-1 bits 7-13> (in one number: <input>) F7`
	if got := examples[1].Answers[1].Form; got != want || strings.Contains(got, "?") {
		t.Errorf("the refusal is\n%s, not\n%s", got, want)
	}
}
