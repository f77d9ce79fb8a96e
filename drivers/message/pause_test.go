package message_test

import (
	"strings"
	"testing"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

// What is sent in parts is escaped as it is in one.
func TestPartsAreEscaped(t *testing.T) {
	number := func(value string) device.Field {
		return device.Field{Kind: device.Number, Value: value, Base: device.EightBit}
	}
	d := &device.Description{
		Name: "parts", Switching: device.ByOutput,
		Frame: device.Frame{Kind: device.Delimited, Start: []byte{0xAA}, End: []byte{0xBB}, Escape: 3,
			Escaped: []device.Stuffed{{Byte: 0xBB, As: 0x0B}, {Byte: 3, As: 0x0C}}},
		Exchanges: []device.Exchange{{Role: device.Set, Batch: 1, Send: []device.Field{
			raw(0xAA), number("output"), {Kind: device.Pause, Milliseconds: 20}, number("input"), raw(0xBB)}}},
	}
	c := codec(t, d, 8, 8, nil)
	parts, err := c.Parts(device.Set, message.Says{Crosspoints: crosspoints{{3, 3}}})
	if err != nil || len(parts) != 2 || string(parts[0].Bytes) != "\xAA\x03\x0C" || parts[0].Pause != 20 || string(parts[1].Bytes) != "\x03\x0C\xBB" {
		t.Errorf("the parts are %+v, %v", parts, err)
	}
}

// An answer that comes while nothing is sent after the last part would be missed.
func TestPausesStandBetween(t *testing.T) {
	rest := device.Field{Kind: device.Pause, Milliseconds: 20}
	for _, send := range [][]device.Field{{rest, lit("x\n")}, {lit("x\n"), rest}} {
		d := unit(device.Field{Kind: device.Number, Value: "input", Base: device.Decimal}, lit("\n"))
		d.Exchanges = append(d.Exchanges, device.Exchange{Role: device.Settle, Send: send, Answer: []device.Field{lit("y\n")}})
		if _, err := message.New(d, 4, 4, nil); err == nil || !strings.Contains(err.Error(), "a pause stands between two parts") {
			t.Errorf("%v: %v", send, err)
		}
	}
}

// What is counted, or written in another form, is sent as one: a pause inside would be lost.
func TestNoPauseStandsInsideWhatIsSentAsOne(t *testing.T) {
	rest := device.Field{Kind: device.Pause, Milliseconds: 20}
	for _, kind := range []device.FieldKind{device.Block, device.Hexed, device.Nibbles, device.Sevens} {
		for _, inside := range [][]device.Field{{lit("x"), rest, lit("y")}, {{Kind: device.Either, Choices: [][]device.Field{{lit("x"), rest, lit("y")}, {lit("z")}}}}} {
			d := unit(device.Field{Kind: device.Number, Value: "input", Base: device.Decimal}, lit("\n"))
			send := []device.Field{lit("a"), {Kind: kind, Of: inside}, lit("\n")}
			d.Exchanges = append(d.Exchanges, device.Exchange{Role: device.Settle, Send: send, Answer: []device.Field{lit("y\n")}})
			if _, err := message.New(d, 4, 4, nil); err == nil || !strings.Contains(err.Error(), "not inside what is sent as one") {
				t.Errorf("%v of %v: %v", kind, inside, err)
			}
		}
	}
}
