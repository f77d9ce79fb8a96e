package message_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

type crosspoints = []message.Crosspoint

func codec(t testing.TB, d *device.Description, inputs, outputs int, parameters map[string]string) *message.Codec {
	t.Helper()
	c, err := message.New(d, inputs, outputs, parameters)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// SCPI-1999 vol. 1, 8.3.2: a channel of a matrix is row!column; a range is the
// rectangle between both corners, row by row, the last number running fastest.
// IEEE 488.2-1992, 7.7.6 and 8.7.9: the block's header counts its bytes, and
// may count them with leading zeros.
func TestChannelLists(t *testing.T) {
	c := codec(t, scpi(), 16, 16, nil)
	tests := []struct {
		answer string
		want   crosspoints
	}{
		{"#13(@)", nil},
		{"#16(@1!1)", crosspoints{{1, 1}}},
		{"#210(@1!2,3!4)", crosspoints{{1, 2}, {3, 4}}},
		{"#216(@1!1,2!3,10!12)", crosspoints{{1, 1}, {2, 3}, {10, 12}}},
		{"#3010(@1!2,3!4)", crosspoints{{1, 2}, {3, 4}}},
		{"(@)", nil},
		{"(@1!2,3!4)", crosspoints{{1, 2}, {3, 4}}},
		{"(@1!1:3!2)", crosspoints{{1, 1}, {1, 2}, {2, 1}, {2, 2}, {3, 1}, {3, 2}}},
		{"(@3!1:4!2)", crosspoints{{3, 1}, {3, 2}, {4, 1}, {4, 2}}},
		{"(@1!2,3!1:4!2)", crosspoints{{1, 2}, {3, 1}, {3, 2}, {4, 1}, {4, 2}}},
		{"(@1!12,3!4:5!6)", crosspoints{{1, 12}, {3, 4}, {3, 5}, {3, 6}, {4, 4}, {4, 5}, {4, 6}, {5, 4}, {5, 5}, {5, 6}}},
	}
	for _, test := range tests {
		says, err := c.Answer(device.Read, []byte(test.answer+"\n"))
		if err != nil {
			t.Errorf("%s: %v", test.answer, err)
		}
		if diff := cmp.Diff(test.want, says.Crosspoints); diff != "" {
			t.Errorf("%s: -want +got\n%s", test.answer, diff)
		}
	}
}

func TestBadChannelLists(t *testing.T) {
	c := codec(t, scpi(), 8, 4, nil)
	tests := []struct {
		answer string
		want   error
	}{
		{"(1!1)", message.ErrOther},                     // no @
		{"(@1!1,)", message.ErrOther},                   // a channel is missing
		{"(@1!1,2!2:)", message.ErrOther},               // a corner is missing
		{"(@1!)", message.ErrOther},                     //
		{"(@1!1", message.ErrOther},                     // cut off
		{"abcd", message.ErrOther},                      //
		{"#210(@1!1)", message.ErrOther},                // the block counts more than it brings
		{"#15(@1!1)", message.ErrOther},                 // and fewer
		{"#0(@1!1)", message.ErrOther},                  // indefinite length is another block
		{"#9999999999(@1!1)", message.ErrOther},         // far too long
		{"#16(@1!1)x", message.ErrOther},                // something follows
		{"(@1,2!5:3!6)", message.ErrValue},              // one dimension of a matrix of two
		{"(@2!5:3!6!7)", message.ErrValue},              // dimensions of a range differ
		{"(@5!1)", message.ErrValue},                    // output 5 of 4
		{"(@1!9)", message.ErrValue},                    // input 9 of 8
		{"(@1!1:4!9)", message.ErrValue},                // a corner outside
		{"(@0!1)", message.ErrValue},                    // channels count from 1
		{"(@1!0)", message.ErrValue},                    //
		{"(@1!70000)", message.ErrValue},                //
		{"(@1!99999999999999999999)", message.ErrOther}, // no number at all
		{"(@" + strings.Repeat("1!1:4!8,", 50) + "1!1)", message.ErrValue},
	}
	for _, test := range tests {
		says, err := c.Answer(device.Read, []byte(test.answer+"\n"))
		if !errors.Is(err, test.want) {
			t.Errorf("%s: %v, %v; want %v", test.answer, says, err, test.want)
		}
	}
}

func TestSendChannels(t *testing.T) {
	outputs := codec(t, scpi(), 16, 16, nil)
	inputs := codec(t, scpi(), 16, 16, map[string]string{"rows": "inputs"})
	says := message.Says{Crosspoints: crosspoints{{1, 2}, {3, 4}}}
	for _, test := range []struct {
		codec *message.Codec
		role  device.Role
		want  string
	}{
		{outputs, device.Close, "ROUT:CLOS (@1!2,3!4)\n"},
		{outputs, device.Open, "ROUT:OPEN (@1!2,3!4)\n"},
		{inputs, device.Close, "ROUT:CLOS (@2!1,4!3)\n"},
	} {
		got, err := test.codec.Send(test.role, says)
		if err != nil || string(got) != test.want {
			t.Errorf("Send(%v) = %q, %v, want %q", test.role, got, err, test.want)
		}
	}
	for _, bad := range []crosspoints{nil, {{17, 1}}, {{1, 17}}, {{0, 1}}, {{1, 0}}} {
		if got, err := outputs.Send(device.Close, message.Says{Crosspoints: bad}); err == nil {
			t.Errorf("Send(close %v) = %q, want an error", bad, got)
		}
	}
}

// IEEE 488.2-1992, 7.7.6 and 8.7.9, examples of open-source parsers of the
// standard: a block of "a" is #11a, carriage return and line feed are data.
func TestBlocks(t *testing.T) {
	for content, want := range map[string]string{
		"a":           "#11a",
		"X1234567890": "#211X1234567890",
		"a\r\n":       "#13a\r\n",
	} {
		d := scpi()
		d.Exchanges = append(d.Exchanges, device.Exchange{
			Role: device.Report, Answer: []device.Field{{Kind: device.Block, Of: []device.Field{text("message")}}, lit("\n")},
		}, device.Exchange{
			Role: device.Set, Send: []device.Field{{Kind: device.Block, Of: []device.Field{lit(content)}}}})
		c := codec(t, d, 4, 4, nil)
		written, err := c.Send(device.Set, message.Says{})
		if err != nil || string(written) != want {
			t.Errorf("block of %q = %q, %v, want %q", content, written, err, want)
		}
		framed, err := c.Framer().Feed([]byte(want + "\n"))
		if err != nil || len(framed) != 1 || string(framed[0]) != want+"\n" {
			t.Fatalf("%q was cut into %q, %v", want, framed, err)
		}
		if _, err := c.Answer(device.Report, framed[0]); err != nil {
			t.Errorf("%q: %v", want, err)
		}
	}
}

// SCPI-1999 vol. 2, 21.8.8 to 21.8.10.
func TestErrorQueue(t *testing.T) {
	c := codec(t, scpi(), 4, 4, nil)
	for answer, want := range map[string]message.Says{
		`0,"No error"`:                    {Code: 0, Text: "No error"},
		`+0,"No error"`:                   {Code: 0, Text: "No error"},
		`-113,"Undefined header"`:         {Code: -113, Text: "Undefined header"},
		`-113,"Undefined header;ABCD"`:    {Code: -113, Text: "Undefined header;ABCD"},
		`-222,"Data out of range;(@9!1)"`: {Code: -222, Text: "Data out of range;(@9!1)"},
		`-101,"say ""no"", and #1"`:       {Code: -101, Text: `say ""no"", and #1`},
	} {
		framed, err := c.Framer().Feed([]byte(answer + "\r\n"))
		if err != nil || len(framed) != 1 {
			t.Fatalf("%s was cut into %q, %v", answer, framed, err)
		}
		got, err := c.Answer(device.Errors, framed[0])
		if err != nil {
			t.Errorf("%s: %v", answer, err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: -want +got\n%s", answer, diff)
		}
	}
	for _, other := range []string{"1\n", "#13(@)\n", "0,No error\n", "x,\"y\"\n", "-,\"y\"\n", "1234567890,\"y\"\n"} {
		if got, err := c.Answer(device.Errors, []byte(other)); !errors.Is(err, message.ErrOther) {
			t.Errorf("%q was read as %v, %v", other, got, err)
		}
	}
}

func TestLinesAreCutAtTheirEndsOnly(t *testing.T) {
	stream := "#215(@1!2\n,3!4)\n\n\n(@1!1)\r\n#hash\nx#14ab\n"
	want := []string{"#215(@1!2\n,3!4)\n\n\n(@1!1)\n", "#hash\n", "x#14ab\n"}
	for size := 1; size <= len(stream); size++ {
		framer := codec(t, scpi(), 4, 4, nil).Framer()
		var got []string
		for rest := []byte(stream); len(rest) > 0; {
			n := min(size, len(rest))
			messages, err := framer.Feed(rest[:n])
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range messages {
				got = append(got, string(m))
			}
			rest = rest[n:]
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("in pieces of %d: -want +got\n%s", size, diff)
		}
		if framer.Pending() != 0 {
			t.Errorf("in pieces of %d: %d bytes are left", size, framer.Pending())
		}
	}
}

func TestAnEndlessLineIsThrownAway(t *testing.T) {
	framer := codec(t, scpi(), 4, 4, nil).Framer()
	_, err := framer.Feed([]byte(strings.Repeat("x", message.MaxLine+10)))
	if !errors.Is(err, message.ErrTooLong) {
		t.Errorf("an endless line gave %v", err)
	}
	messages, err := framer.Feed([]byte("rest\n1\n"))
	if err != nil || len(messages) != 1 || string(messages[0]) != "1\n" {
		t.Errorf("after it came %q, %v, want the next line only", messages, err)
	}
}

func TestPlainLines(t *testing.T) {
	c := codec(t, lines(), 4, 3, nil)
	got, err := c.Send(device.Set, message.Says{Crosspoints: crosspoints{{1, 4}, {3, 0}}})
	if err != nil || string(got) != "SET 1=4 3=0\n" {
		t.Errorf("Send = %q, %v", got, err)
	}
	says, err := c.Answer(device.Read, []byte("IS 4 0 2\n"))
	if diff := cmp.Diff(crosspoints{{1, 4}, {2, 0}, {3, 2}}, says.Crosspoints); err != nil || diff != "" {
		t.Errorf("%v %s", err, diff)
	}
	for answer, want := range map[string]error{
		"IS 4 0\n":     message.ErrValue, // an output too few
		"IS 4 0 2 1\n": message.ErrValue, // one too many
		"IS 4  0 2\n":  message.ErrValue,
		"WAS 4 0 2\n":  message.ErrOther,
		"IS 4 0 2 \n":  message.ErrOther,
		"":             message.ErrOther,
	} {
		if says, err := c.Answer(device.Read, []byte(answer)); !errors.Is(err, want) {
			t.Errorf("%q was read as %v, %v; want %v", answer, says, err, want)
		}
	}
	refusal, meaning, err := c.Judge(device.Set, 0, []byte("NO power\n"))
	if err != nil || meaning != message.Refusal || refusal.Text != "power" {
		t.Errorf("the refusal was read as %v, %v", refusal, err)
	}
	report, err := c.Answer(device.Report, []byte("NOW 2=1 3=0\n"))
	if diff := cmp.Diff(crosspoints{{2, 1}, {3, 0}}, report.Crosspoints); err != nil || diff != "" {
		t.Errorf("%v %s", err, diff)
	}
	if _, err := c.Answer(device.Report, []byte("NOW 2=1 \n")); err == nil {
		t.Error("a round that is missing after a separator was passed over")
	}
}

func TestNumbers(t *testing.T) {
	number := func(base device.Base, width, add int) *device.Description {
		d := lines()
		f := device.Field{Kind: device.Number, Value: "output", Base: base, Width: width, Add: add}
		for i := range d.Exchanges {
			if d.Exchanges[i].Role == device.Set {
				d.Exchanges[i].Send, d.Exchanges[i].Batch = []device.Field{lit("<"), f, lit(">")}, 1
			}
		}
		return d
	}
	tests := []struct {
		base       device.Base
		width, add int
		output     int
		want       string
	}{
		{device.Decimal, 0, 0, 12, "<12>"},
		{device.Decimal, 3, 0, 12, "<012>"},
		{device.Decimal, 2, -1, 1, "<00>"},
		{device.Hexadecimal, 0, 0, 200, "<C8>"},
		{device.Hexadecimal, 2, -1, 11, "<0A>"},
		{device.SevenBit, 0, -1, 128, "<\x7F>"},
		{device.EightBit, 0, 55, 200, "<\xFF>"},
	}
	for _, test := range tests {
		c := codec(t, number(test.base, test.width, test.add), 4, test.output, nil)
		got, err := c.Send(device.Set, message.Says{Crosspoints: crosspoints{{test.output, 0}}})
		if err != nil || string(got) != test.want {
			t.Errorf("%+v: %q, %v", test, got, err)
			continue
		}
		says, err := c.Sent(device.Set, got)
		if err != nil || len(says.Crosspoints) != 1 || says.Crosspoints[0].Output != test.output {
			t.Errorf("%+v was read back as %v, %v", test, says, err)
		}
	}
	for _, test := range []struct {
		base       device.Base
		width, add int
	}{{device.Decimal, 2, 0}, {device.Hexadecimal, 1, 0}, {device.SevenBit, 0, 0}, {device.EightBit, 0, 100}, {device.Decimal, 0, -201}} {
		if _, err := message.New(number(test.base, test.width, test.add), 4, 200, nil); err == nil || !strings.Contains(err.Error(), "a matrix of 4 inputs and 200 outputs") {
			t.Errorf("%+v holds output 200: %v", test, err)
		}
	}
}
