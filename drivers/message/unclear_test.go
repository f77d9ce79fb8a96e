package message_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

// One output that cannot be understood leaves the others as they are, in each way of
// reading back.
func TestOneOutputThatIsUnclear(t *testing.T) {
	row := lines()
	row.Exchanges = append(row.Exchanges,
		device.Exchange{Role: device.ReadOutput, Batch: 1, Send: []device.Field{lit("OUT"), dec("output"), lit("\n")},
			Answer: []device.Field{lit("OUT"), dec("output"), lit(" IN"), dec("input"), lit("\n")}})
	c := codec(t, row, 4, 3, nil)
	m := codec(t, exclusive(), 8, 4, map[string]string{"unit": "16"})
	for _, test := range []struct {
		name   string
		codec  *message.Codec
		role   device.Role
		output int
		answer string
		want   message.Says
	}{
		{"two inputs", c, device.Read, 0, "IS 4 1+2 2\n", message.Says{Crosspoints: crosspoints{{1, 4}, {3, 2}}, Unclear: []message.Unclear{{2, "1+2"}}}},
		{"the last", c, device.Read, 0, "IS 4 2 **\n", message.Says{Crosspoints: crosspoints{{1, 4}, {2, 2}}, Unclear: []message.Unclear{{3, "**"}}}},
		{"an input that is none", c, device.Read, 0, "IS 5 0 2\n", message.Says{Crosspoints: crosspoints{{2, 0}, {3, 2}}, Unclear: []message.Unclear{{1, "input 5"}}}},
		{"asked for alone", c, device.ReadOutput, 2, "OUT2 IN*\n", message.Says{Unclear: []message.Unclear{{2, "*"}}}},
		{"a byte", m, device.Read, 0, string(hexBytes(t, "F0 7D 10 42 03 02 00 09 01 F7")), message.Says{Packet: 3, Crosspoints: crosspoints{{1, 2}, {2, 0}, {4, 1}}, Unclear: []message.Unclear{{3, "input 9"}}}},
	} {
		says, err := test.codec.AnswerAbout(test.role, test.output, []byte(test.answer))
		if diff := cmp.Diff(test.want, says); err != nil || diff != "" {
			t.Errorf("%s: %v\n%s", test.name, err, diff)
		}
	}
}
